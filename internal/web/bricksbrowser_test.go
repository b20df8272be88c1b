package web

import (
	"net/url"
	"strings"
	"testing"

	"stovewright/brick"
	"stovewright/examples"
	"stovewright/message"
)

// unworded are the examples with every text of the maker's own as a number, so
// that no word on a page is the user's.
var unworded = strings.NewReplacer("stream clay", "11", "mill dust", "12", "below the ford", "13", "light lining", "14",
	"brick with the red mark", "15", "third load", "16", "lining brick", "17", "first fifty stoves", "18", "[top, bottom]", `["21", "22"]`,
	"T1", "101", "T2", "102", "T3", "103", "mark: a", "mark: 1", "mark: b", "mark: 2", "layer 2, row 1", "19", "event: lit", "event: 23",
	"bricks burn by themselves", "24", "event: closed", "event: 25", "note: crack", "note: 26", "note: turned", "note: 27",
	"invented example; nobody made these bricks", "28", "invented example", "29")

// TestNoBrickWordIsHardCoded shows every brick page in the pseudo-language; see
// TestNoWordIsHardCoded.
func TestNoBrickWordIsHardCoded(t *testing.T) {
	b, _ := bench(t, func(c *Config) { c.Catalogue = message.Pseudo() })
	pages := []string{"/bricks", "/bricks/trouble?symptom=crumbles&peak=850&thickness=10", "/bricks/measure?load=60&load_arm=2000&piece_arm=200&piece_length=50&piece_width=50&jar=15&one_tin=310&amount=12"}
	for _, p := range brickPapers {
		data, err := examples.Bricks.ReadFile("bricks/" + p.example)
		if err != nil {
			t.Fatal(err)
		}
		address := post(t, b, "/bricks/import", url.Values{"document": {unworded.Replace(string(data))}})
		pages = append(pages, address, address+"/history", post(t, b, "/bricks/"+string(p.Key)+"/new", url.Values{}))
		if p == seriesPaper {
			pages = append(pages, address+"?part=materials", address+"?part=trial&n=1", address+"?part=trial&n=3", address+"?part=next", address+"?part=next&from=2&target=0.5")
		}
	}
	for _, path := range pages {
		for _, word := range wordsOutside(t, want(t, request(b, "GET", path, nil), 200)) {
			if word != "x" && word != "T" { // the sign between edges, and T4, the name of a trial
				t.Errorf("%s: %q is not in the catalogue", path, word)
			}
		}
	}
}

// A maker with a telephone at the pit and an engineer at a desk: what is typed
// is answered, the kiln map is touched, and everything fits the window and the
// thumb.
func TestBrowserFollowsTheBricks(t *testing.T) {
	for _, s := range sizes {
		t.Run(s.name, func(t *testing.T) {
			d := drive(t, s)
			series, kiln := exampleOf(t, d.bench, brick.SeriesPaper), exampleOf(t, d.bench, brick.FiringPaper)
			d.open(series + "?part=trial&n=1")
			d.fitsWindow()
			d.picture("trial")
			d.write("trials[1].bricks[1].dry.mass", "1900 g")
			d.until("the complaint", `document.getElementById("msg-trials[1].bricks[1].dry.mass").dataset.state === "wrong"`)
			d.write("trials[1].bricks[1].dry.mass", "810 g")
			d.until("the answer beside the brick", text(`[id="says-trials[1].bricks[1]"]`, "0.68"))
			d.until("the answers", text("#strip", "0.68")+" && "+text("#answers", "as foretold"))
			d.press(`[value="add:trials[1].bricks"]`)
			d.until("a new brick", `document.querySelector('[name="trials[1].bricks[2].wet.mass"]')`)
			d.open(series + "?part=next")
			d.write("goal.max_density", "0.55 g/cm³")
			d.until("the next trial", text("#titled", "Saved as you type")+" && "+text("#answers", "Write it down as T4"))
			d.press(`#answers [value="next"]`)
			d.until("the trial", text(".brick-steps", "trial 4 of 4"))
			d.fitsWindow()

			d.open(kiln)
			d.press(`[value="flip:1.1.1"]`)
			d.until("a reject", `document.querySelector('[value="flip:1.1.1"]').classList.contains("reject")`)
			d.until("the count", text("#kiln-map", "2 good, 2 rejects"))
			d.picture("kiln")
			d.press(`#titled form[action$="/undo"] button`)
			d.until("undone", text("#kiln-map", "3 good, 1 rejects"))
			d.quiet()
		})
	}
}

func TestBrowserBrickPagesFitTelephone(t *testing.T) {
	d := drive(t, sizes[1])
	pages := []string{"/bricks", "/bricks/trouble?symptom=crumbles&peak=850&thickness=ten", "/bricks/measure"}
	for _, p := range brickPapers {
		address := exampleOf(t, d.bench, p.Key)
		pages = append(pages, address)
		if p == seriesPaper {
			pages = append(pages, address+"?part=materials", address+"?part=trial&n=1", address+"?part=next")
		}
	}
	for _, path := range pages {
		d.open(path)
		d.fitsWindow()
		small := js[string](d, `[...document.querySelectorAll("button, input:not([type=hidden]), select, nav a, summary, .button, .quiet")]
			.filter(e => { const b = e.getBoundingClientRect(); return b.width > 2 && (b.height < 43.5 || b.width < 24) && e.type !== "file"; })
			.slice(0, 5).map(e => Math.round(e.getBoundingClientRect().height) + " px: " + e.outerHTML.slice(0, 90)).join("\n")`)
		if small != "" {
			t.Errorf("%s: too small for a thumb:\n%s", path, small)
		}
		unnamed := js[string](d, `[...document.querySelectorAll("button, input:not([type=hidden]), select, textarea, a[href]")]
			.filter(e => !(e.labels?.length || e.getAttribute("aria-label") || e.textContent.trim())).slice(0, 5).map(e => e.outerHTML.slice(0, 90)).join("\n")`)
		if unnamed != "" {
			t.Errorf("%s: without a name for screen readers:\n%s", path, unnamed)
		}
		twice := js[string](d, `(() => { const seen = {}; for (const e of document.querySelectorAll("[id]")) seen[e.id] = (seen[e.id] || 0) + 1; return Object.keys(seen).filter(k => seen[k] > 1).join(" "); })()`)
		if twice != "" {
			t.Errorf("%s: ids that stand twice: %s", path, twice)
		}
	}
	d.quiet()
}
