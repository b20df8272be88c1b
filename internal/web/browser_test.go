package web

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"stovewright/internal/outside"
)

// size is a window that the bench is driven in.
type size struct {
	name          string
	width, height int64
	touch         bool
}

var sizes = []size{{"desktop", 1280, 900, false}, {"phone", 360, 740, true}}

// driver drives a real browser.
type driver struct {
	*testing.T
	ctx   context.Context
	bench *Bench
	url   string
	id    string
	touch bool

	mu     sync.Mutex
	errors []string
}

// chromium is one browser for all tests, started when it is first wanted.
var chromium = sync.OnceValues(func() (context.Context, error) {
	path := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "chrome"} {
		if p, err := exec.LookPath(name); err == nil {
			path = p
			break
		}
	}
	if path == "" {
		return nil, exec.ErrNotFound
	}
	dir, err := os.MkdirTemp("", "bench-browser-")
	if err != nil {
		return nil, err
	}
	options := append(slices.Clone(chromedp.DefaultExecAllocatorOptions[:]),
		chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.UserDataDir(dir),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true))
	ctx, stopAllocator := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, stop := chromedp.NewContext(ctx)
	stopChromium = func() {
		chromedp.Cancel(ctx)
		stop()
		stopAllocator()
		os.RemoveAll(dir)
	}
	return ctx, chromedp.Do(ctx)
})

var stopChromium = func() {}

func TestMain(m *testing.M) {
	code := m.Run()
	stopChromium()
	os.Exit(code)
}

// drive opens a bench in a window of the browser. Without a browser the test is
// left out, except in CI.
func drive(t *testing.T, s size) *driver {
	t.Helper()
	browser, err := chromium()
	if errors.Is(err, exec.ErrNotFound) {
		outside.Lacks(t, "Chromium, to drive the bench,")
	}
	if err != nil {
		t.Fatal(err)
	}
	b, id := bench(t)
	server := httptest.NewServer(b)
	t.Cleanup(server.Close)
	ctx, cancel := chromedp.NewContext(browser)
	t.Cleanup(cancel)
	ctx, cancel = context.WithTimeout(ctx, 3*time.Minute)
	t.Cleanup(cancel)
	d := &driver{T: t, ctx: ctx, bench: b, url: server.URL, id: id, touch: s.touch}
	emulation := []chromedp.EmulateViewportOption{}
	if s.touch {
		emulation = append(emulation, chromedp.EmulateMobile, chromedp.EmulateTouch, chromedp.EmulateScale(2))
	}
	d.do(chromedp.EmulateViewport(s.width, s.height, emulation...))
	d.listen()
	return d
}

// listen collects what the browser complains about.
func (d *driver) listen() {
	messages := chromedp.Console(d.ctx)
	go func() {
		for m, err := range messages {
			if err != nil {
				return
			}
			if m.Type != chromedp.ConsoleError && m.Type != chromedp.ConsoleException && m.Type != chromedp.ConsoleWarning {
				continue
			}
			if strings.Contains(m.Text, "422") { // the answer to a value that cannot be
				continue
			}
			d.mu.Lock()
			d.errors = append(d.errors, m.String()+" "+m.URL)
			d.mu.Unlock()
		}
	}()
}

func (d *driver) do(steps ...chromedp.Action[chromedp.Void]) {
	d.Helper()
	if err := chromedp.Do(d.ctx, steps...); err != nil {
		d.Fatal(err)
	}
}

func (d *driver) open(path string) {
	d.Helper()
	d.do(chromedp.Navigate(d.url + path))
}

// js evaluates an expression in the page.
func js[T any](d *driver, expression string) T {
	d.Helper()
	v, err := chromedp.Run(d.ctx, chromedp.Evaluate[T](expression))
	if err != nil {
		d.Fatalf("%s: %v", expression, err)
	}
	return v
}

// until waits for an expression to hold.
func (d *driver) until(what, expression string) {
	d.Helper()
	for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(30 * time.Millisecond) {
		if js[bool](d, "!!("+expression+")") {
			return
		}
	}
	d.picture("failed")
	d.Fatalf("waited in vain for %s: %s", what, expression)
}

// text is an expression that holds when an element shows a text.
func text(selector, want string) string {
	w, _ := json.Marshal(strings.ReplaceAll(want, " ", "\u00a0"))
	return fmt.Sprintf("(document.querySelector(%q)?.textContent ?? '').replaceAll(' ', '\\u00a0').includes(%s)", selector, w)
}

// press clicks or taps the middle of an element.
func (d *driver) press(selector string) {
	d.Helper()
	d.until(selector, fmt.Sprintf("document.querySelector(%q)", selector))
	// An answer moves what stands below it: a hand waits until all keys are kept.
	d.until("every key kept", `!Object.keys(sessionStorage).some(name => name.startsWith("unsaved "))`)
	at := js[[]float64](d, fmt.Sprintf(`(() => { const e = document.querySelector(%q); e.scrollIntoView({block: "center", inline: "center"});
		const b = e.getBoundingClientRect(); return [b.left + b.width / 2, b.top + b.height / 2]; })()`, selector))
	if d.touch {
		d.do(chromedp.TapXY(at[0], at[1]))
		return
	}
	d.do(chromedp.MouseClickXY(at[0], at[1]))
}

// write replaces what stands in a field by typing.
func (d *driver) write(id, value string) {
	d.Helper()
	js[bool](d, fmt.Sprintf("(() => { const e = document.getElementById(%q); e.focus(); e.select(); return true; })()", id))
	d.keys(value)
}

func (d *driver) keys(keys string) {
	d.Helper()
	d.do(chromedp.KeyEvent(keys))
}

func (d *driver) fitsWindow() {
	d.Helper()
	// On a telephone innerWidth grows with what is too wide; clientWidth does not.
	if over := js[float64](d, "document.documentElement.scrollWidth - document.documentElement.clientWidth"); over > 0 {
		d.picture("too-wide")
		d.Errorf("the page is %g px wider than the window: %s", over, js[string](d,
			`[...document.querySelectorAll("main *")].filter(e => e.getBoundingClientRect().right > document.documentElement.clientWidth + 1 && !e.closest(".sheet-paper, .scroller")).slice(0, 5).map(e => e.outerHTML.slice(0, 100)).join("\n")`))
	}
}

// picture keeps a screenshot where PICTURES names a folder.
func (d *driver) picture(name string) {
	dir := os.Getenv("PICTURES")
	if dir == "" {
		return
	}
	data, err := chromedp.Run(d.ctx, chromedp.CaptureScreenshot())
	if err == nil {
		err = os.WriteFile(filepath.Join(dir, strings.ReplaceAll(d.Name(), "/", "-")+"-"+name+".png"), data, 0o644)
	}
	if err != nil {
		d.Log(err)
	}
}

func (d *driver) quiet() {
	d.Helper()
	d.mu.Lock()
	defer d.mu.Unlock()
	for _, e := range d.errors {
		d.Error("the browser complains: " + e)
	}
}

func TestBrowserSizesStoveOnTheDrawing(t *testing.T) {
	for _, s := range sizes {
		t.Run(s.name, func(t *testing.T) {
			d := drive(t, s)
			d.open("/")
			d.until("the worked example", text("h1", "Hill-farm kitchen"))
			d.fitsWindow()
			d.picture("stove")

			// touch the skirt gap on the drawing and change it
			d.press(`.sheet .dim[data-key="skirt.gap"] .hit`)
			d.until("the panel", `document.getElementById("dialog").open && document.activeElement.id === "panel-input"`)
			d.write("panel-input", "11 mm")
			d.until("the preview", text("#preview", "262.0 mm"))
			d.picture("panel")
			d.keys(kb.Enter)
			d.until("the change", text("#changes", "11.0 mm"))
			d.until("what followed", text("#changes", "Skirt inside diameter")+" && "+text("#changes", "262.0 mm"))
			d.until("the drawing", text(`.sheet .dim[data-key="skirt.gap"]`, "11.0"))
			d.until("the gap table", text("#gaps", "11.0 mm"))
			d.until("the announcement", text("#said", "Skirt gap changed"))
			if js[bool](d, `document.getElementById("dialog").open`) {
				t.Error("the panel stayed open")
			}
			d.picture("changed")

			// what cannot be stays in the field, with the reason beside it
			d.press(`.sheet .dim[data-key="chamber.width"] .hit`)
			d.until("the panel", `document.activeElement.id === "panel-input"`)
			d.write("panel-input", "a span")
			d.keys(kb.Enter)
			d.until("the complaint", text("#panel-message", "cannot be read"))
			if v := js[string](d, `document.getElementById("panel-input").value`); v != "a span" {
				t.Errorf("the field holds %q", v)
			}
			d.picture("refused")
			d.keys(kb.Escape)
			d.until("the panel to close", `!document.getElementById("dialog").open`)

			// steps, then undo twice: back at the rule
			d.press(`.sheet .dim[data-key="skirt.gap"] .hit`)
			d.until("the panel", `document.activeElement.id === "panel-input"`)
			d.press(`#panel [name="step"]:first-of-type`)
			d.until("one step down", text(`.sheet .dim[data-key="skirt.gap"]`, "10.0"))
			d.until("the panel to follow", `document.getElementById("panel-input").value.startsWith("10.0")`)
			d.keys(kb.Escape)
			d.press(`#changes button`)
			d.until("undo", text("#changes", "Undone")+" && "+text(`.sheet .dim[data-key="skirt.gap"]`, "11.0"))
			d.press(`#titled form[action$="/undo"] button`)
			d.until("undo again", text(`.sheet .dim[data-key="skirt.gap"]`, "8.0"))
			d.press(`#titled form[action$="/redo"] button`)
			d.until("redo", text(`.sheet .dim[data-key="skirt.gap"]`, "11.0"))

			// the other drawings
			d.press(`.sheet-tools a[href="?view=top"]`)
			d.until("the top view", `document.getElementById("drawing").dataset.view === "top"`)
			d.fitsWindow()
			d.quiet()
		})
	}
}

func TestBrowserKeepsWhatIsTyped(t *testing.T) {
	for _, s := range sizes {
		t.Run(s.name, func(t *testing.T) {
			d := drive(t, s)
			d.open("/stove/" + d.id + "/brief")
			d.fitsWindow()
			d.picture("brief")
			d.write("pot.circumference", "80 cm")
			d.until("the stove to follow", text("#strip", "255 mm")+" || "+text("#strip .strip-line", "mm"))
			d.until("the state", text("#titled", "Saved as you type"))
			d.write("pot.handle_height", "31 1/2 in")
			d.until("the complaint", `document.getElementById("msg-pot.handle_height").dataset.state === "wrong"`)
			d.until("the mark on the field", `document.getElementById("pot.handle_height").getAttribute("aria-invalid") === "true"`)
			d.until("what stands in the way", text("#strip", "handles cannot be higher"))
			d.picture("wrong")
			d.open("/stove/" + d.id + "/brief")
			if v := js[string](d, `document.getElementById("pot.handle_height").value`); v != "31 1/2 in" {
				t.Errorf("after loading again the field holds %q", v)
			}
			d.press(`#msg-pot\.handle_height .try`)
			d.until("the mended field", `document.getElementById("msg-pot.handle_height").dataset.state === "right"`)

			// a pot is added and taken away; the focus goes along
			d.press(`[value="add:more_pots"]`)
			d.until("a new pot", `document.activeElement.name === "more_pots[1].name"`)
			d.keys("sauce pot")
			d.until("its name saved", `fetch(location.href).then(r => r.text()).then(t => window.kept = t.includes('value="sauce pot"')) && window.kept`)
			d.press(`[value="remove:more_pots[1]"]`)
			d.until("the pot gone", `!document.querySelector('[name="more_pots[1].name"]')`)

			d.open("/stove/" + d.id)
			d.until("the typed pot on the drawing", text(`.sheet .dim[data-key="pot.diameter"]`, "255"))
			d.quiet()
		})
	}
}

// The whole way with the keyboard alone: to the dimension on the drawing, into
// its panel, out of it, and back where the focus was.
func TestBrowserKeyboardAlone(t *testing.T) {
	d := drive(t, sizes[0])
	d.open("/stove/" + d.id)
	d.keys(kb.Tab)
	if v := js[string](d, "document.activeElement.className"); v != "skip" {
		t.Errorf("the first stop is %q, want the skip link", v)
	}
	d.keys(kb.Enter)
	reached := false
	for range 60 {
		d.keys(kb.Tab)
		if !js[bool](d, `(() => { const e = document.activeElement; const s = getComputedStyle(e), h = e.querySelector?.(".hit");
			return s.outlineStyle !== "none" || !!h && getComputedStyle(h).stroke !== "none"; })()`) {
			t.Errorf("the focus cannot be seen on %s", js[string](d, "document.activeElement.outerHTML.slice(0, 120)"))
		}
		if js[bool](d, `document.activeElement.dataset.key === "skirt.gap"`) {
			reached = true
			break
		}
	}
	if !reached {
		t.Fatal("the skirt gap is not reached with the tab key")
	}
	d.keys(kb.Enter)
	d.until("the panel", `document.activeElement.id === "panel-input"`)
	d.keys(kb.Escape)
	d.until("the focus back on the drawing", `document.activeElement.dataset.key === "skirt.gap"`)
	d.keys(" ")
	d.until("the panel again", `document.activeElement.id === "panel-input"`)
	d.keys("9.5 mm" + kb.Enter)
	d.until("the change", text("#changes", "9.5 mm"))
	d.until("the focus back on the drawing", `document.activeElement.dataset.key === "skirt.gap"`)
	d.quiet()
}

// Every page fits a small telephone, and what is touched there is large enough
// for a thumb: 44 CSS pixels, links in running text left out.
func TestBrowserPagesFitTelephone(t *testing.T) {
	d := drive(t, sizes[1])
	for _, path := range allPages(d.id) {
		if strings.Contains(path, "no-such") {
			continue
		}
		d.fitsTelephone(path)
	}
	d.quiet()
}

// fitsTelephone opens a page and holds it to a small window, thumbs and screen
// readers.
func (d *driver) fitsTelephone(path string) {
	d.Helper()
	d.open(path)
	d.fitsWindow()
	small := js[string](d, `[...document.querySelectorAll("button, input:not([type=hidden]), select, nav a, summary, .button, .take-main, .quiet")]
		.filter(e => { const b = e.getBoundingClientRect(); return b.width > 2 && (b.height < 43.5 || b.width < 24) && e.type !== "file"; })
		.slice(0, 5).map(e => Math.round(e.getBoundingClientRect().height) + " px: " + e.outerHTML.slice(0, 90)).join("\n")`)
	if small != "" {
		d.Errorf("%s: too small for a thumb:\n%s", path, small)
	}
	unnamed := js[string](d, `[...document.querySelectorAll("button, input:not([type=hidden]), select, textarea, a[href], [role=button]")]
		.filter(e => !(e.labels?.length || e.getAttribute("aria-label") || e.textContent.trim() || e.getAttribute("aria-labelledby") || e.querySelector("img[alt]:not([alt=''])")))
		.slice(0, 5).map(e => e.outerHTML.slice(0, 90)).join("\n")`)
	if unnamed != "" {
		d.Errorf("%s: without a name for screen readers:\n%s", path, unnamed)
	}
	twice := js[string](d, `(() => { const seen = {}; for (const e of document.querySelectorAll("[id]")) seen[e.id] = (seen[e.id] || 0) + 1; return Object.keys(seen).filter(k => seen[k] > 1).join(" "); })()`)
	if twice != "" {
		d.Errorf("%s: ids that stand twice: %s", path, twice)
	}
}

// When the program stops answering, what is typed stays, is said to be unsaved,
// and is sent when it answers again.
func TestBrowserWaitsForTheProgram(t *testing.T) {
	d := drive(t, sizes[0])
	d.open("/stove/" + d.id + "/brief")
	js[bool](d, `(() => { window.real = window.fetch; window.fetch = () => Promise.reject(new TypeError("down")); return true; })()`)
	d.write("pot.circumference", "88 cm")
	d.until("the alarm", `!document.getElementById("alarm").hidden`)
	js[bool](d, `(() => { window.fetch = window.real; return true; })()`)
	d.until("the alarm to end", `document.getElementById("alarm").hidden`)
	d.open("/stove/" + d.id + "/brief")
	if v := js[string](d, `document.getElementById("pot.circumference").value`); v != "88 cm" {
		t.Errorf("the field holds %q", v)
	}
	d.quiet()
}
