package booklet

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"stovewright/drawing"
	"stovewright/internal/outside"
	"stovewright/kit"
	"stovewright/message"
	"stovewright/stove"
	"stovewright/stove/stovetest"
)

func household(t testing.TB) *stove.Stove {
	t.Helper()
	b, err := stove.Form{Name: "Test kitchen", Pot: stove.PotForm{Circumference: "75.4 cm", Height: "17 cm", HandleHeight: "13.5 cm", Fill: "5 L"}}.Read()
	if err != nil {
		t.Fatal(err)
	}
	s, err := stove.Size(b)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func built(t testing.TB, s *stove.Stove, c *message.Catalogue, paper drawing.Paper) []byte {
	t.Helper()
	k, err := kit.Make(s)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := Build(&b, s, k, c, paper); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func saved(t testing.TB, data []byte) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "booklet.pdf")
	if err := os.WriteFile(name, data, 0o600); err != nil {
		t.Fatal(err)
	}
	return name
}

func run(t testing.TB, name string, args ...string) string {
	t.Helper()
	out, err := exec.Command(name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s: %v\n%s", name, err, out)
	}
	return string(out)
}

// Poppler reads the fonts: each embedded, with a table back to Unicode so that
// text can be selected and searched. The PDF writer gives subsets no tag in
// their names, so that they are subsets is seen from their length: each far
// shorter than the whole font.
func TestFontsAreEmbeddedSubsets(t *testing.T) {
	pdffonts := outside.Program(t, "pdffonts")
	data := built(t, household(t), message.English(), drawing.A4)
	lines := strings.Split(strings.TrimSpace(run(t, pdffonts, saved(t, data))), "\n")[2:]
	if len(lines) == 0 {
		t.Fatal("no font in the booklet")
	}
	for _, l := range lines {
		f := strings.Fields(l)
		if emb, uni := f[len(f)-5], f[len(f)-3]; emb != "yes" || uni != "yes" {
			t.Errorf("font is not embedded and searchable: %s", l)
		}
	}
	lengths := regexp.MustCompile(`/Length1 (\d+)`).FindAllSubmatch(data, -1)
	if len(lengths) != len(lines) {
		t.Fatalf("%d font files for %d fonts", len(lengths), len(lines))
	}
	for _, m := range lengths {
		if n, _ := strconv.Atoi(string(m[1])); n > len(drawing.Regular.TTF())/2 {
			t.Errorf("a font of %d bytes is embedded: the whole font has %d", n, len(drawing.Regular.TTF()))
		}
	}
}

func TestPageSizesByPoppler(t *testing.T) {
	pdfinfo := outside.Program(t, "pdfinfo")
	for _, tt := range []struct {
		paper drawing.Paper
		want  string // points: 210 × 297 mm, 8.5 × 11 in
	}{{drawing.A4, "595.28 x 841.89"}, {drawing.Letter, "612 x 792"}} {
		if out := run(t, pdfinfo, saved(t, built(t, household(t), message.English(), tt.paper))); !strings.Contains(out, tt.want) {
			t.Errorf("%s: want pages of %s pt:\n%s", tt.paper.Name, tt.want, out)
		}
	}
}

// The contents name the page on which each chapter stands.
func TestContentsNameTheRightPages(t *testing.T) {
	pdftotext := outside.Program(t, "pdftotext")
	name := saved(t, built(t, household(t), message.English(), drawing.A4))
	pages := strings.Split(run(t, pdftotext, "-layout", name, "-"), "\f")
	line := regexp.MustCompile(`(?m)^\s*(\S.*?\S)\s+(\d+)\s*$`)
	found := line.FindAllStringSubmatch(pages[1], -1)
	if len(found) < 12 {
		t.Fatalf("the contents list only %d chapters:\n%s", len(found), pages[1])
	}
	for _, m := range found {
		n, _ := strconv.Atoi(m[2])
		if title := m[1]; title != "Test kitchen" && (n < 1 || n > len(pages) || !strings.Contains(pages[n-1], title)) {
			t.Errorf("%q does not stand on page %d", title, n)
		}
	}
}

func TestCautionsStandAtTheirSteps(t *testing.T) {
	pdftotext := outside.Program(t, "pdftotext")
	pages := strings.Split(run(t, pdftotext, saved(t, built(t, household(t), message.English(), drawing.A4)), "-"), "\f")
	for _, tt := range []struct{ chapter, caution string }{
		{"Making the bricks", "silica"}, {"Making the bricks", "carbon monoxide"}, {"Sheet metal", "Zinc"},
		{"Make the body", "gloves"}, {"Fill around the bricks", "asbestos"}, {"Try the pot", "scalds"},
		{"Drying and first fire", "carbon monoxide"}, {"Form for the first test", "Boiling water"},
		{"What to change", "only a test of both stoves"}, {"What to change", "smoke holds carbon monoxide"}, {"Gauges", "Computed, not measured"},
		{"Predicted behaviour", "not a measurement"}, {"Predicted behaviour", "Never burn in a closed room"},
	} {
		ok := false
		for _, p := range pages[2:] {
			flat := strings.Join(strings.Fields(p), " ")
			ok = ok || strings.Contains(flat, tt.chapter) && strings.Contains(flat, tt.caution)
		}
		if !ok {
			t.Errorf("%q has no caution that says %q on its page", tt.chapter, tt.caution)
		}
	}
}

// Every word lies inside the paper's margins, by poppler's own measure.
func TestNoWordLeavesThePage(t *testing.T) {
	pdftotext := outside.Program(t, "pdftotext")
	pageSize := regexp.MustCompile(`<page width="([\d.]+)" height="([\d.]+)">`)
	word := regexp.MustCompile(`<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">(.*?)</word>`)
	const least = 7.0 / 25.4 * 72 // points from the edge
	stoves := rapid.Custom(stovetest.Stove)
	for seed := range 16 { // each booklet takes a third of a second
		s := stoves.Example(seed)
		k, err := kit.Make(s)
		if err != nil {
			if _, ours := message.Complaints(err); !ours {
				t.Fatal(err)
			}
			continue // the kit says which dimension cannot be made; tested there
		}
		var b bytes.Buffer
		if err := Build(&b, s, k, message.English(), Paper(s)); err != nil {
			t.Fatal(err)
		}
		for _, page := range strings.Split(run(t, pdftotext, "-bbox", saved(t, b.Bytes()), "-"), "</page>") {
			size := pageSize.FindStringSubmatch(page)
			if size == nil {
				continue
			}
			width, _ := strconv.ParseFloat(size[1], 64)
			height, _ := strconv.ParseFloat(size[2], 64)
			for _, m := range word.FindAllStringSubmatch(page, -1) {
				var v [4]float64
				for i := range v {
					v[i], _ = strconv.ParseFloat(m[i+1], 64)
				}
				if v[0] < least || v[1] < least/2 || v[2] > width-least || v[3] > height-least/2 {
					t.Errorf("seed %d: %q stands at %v pt", seed, m[5], v)
				}
			}
		}
	}
}

func TestNoWordsAreHardCoded(t *testing.T) {
	pdftotext := outside.Program(t, "pdftotext")
	text := run(t, pdftotext, "-layout", saved(t, built(t, household(t), message.Pseudo(), drawing.A4)), "-")
	allowed := regexp.MustCompile(`^(Test|kitchen|mm|cm|cm²|MPa|Pa|kg|kW|min|MJ|kg/h|MJ/kg|W/cm²|W|°C|L|g|m|K|h|N|Ø|WARNING|Baldwin)$`)
	// what stands between ‹ and › is from the catalogue, over line ends too
	outside := regexp.MustCompile(`(?s)‹[^›]*›`).ReplaceAllString(text, " ")
	bad := map[string]bool{}
	for _, w := range strings.Fields(outside) {
		w = strings.Trim(w, ".,:;()/×±→←–-+·0123456789")
		if regexp.MustCompile(`^[A-Za-z]{2,}$`).MatchString(w) && !allowed.MatchString(w) {
			bad[w] = true
		}
	}
	if len(bad) > 0 {
		t.Errorf("words that are not from the catalogue: %v", bad)
	}
}

func TestSameStoveSameBytes(t *testing.T) {
	s := household(t)
	if !bytes.Equal(built(t, s, message.English(), drawing.A4), built(t, s, message.English(), drawing.A4)) {
		t.Error("two booklets of one stove differ")
	}
}

func BenchmarkBooklet(b *testing.B) {
	s := household(b)
	for b.Loop() {
		built(b, s, message.English(), drawing.A4)
	}
}

func TestBundleHoldsEveryKindOfFile(t *testing.T) {
	files, err := Bundle(household(t), message.English(), drawing.A4)
	if err != nil {
		t.Fatal(err)
	}
	kinds := make(map[string]int)
	seen := make(map[string]bool)
	for _, f := range files {
		if len(f.Data) == 0 || seen[f.Name] || strings.Contains(f.Name, "..") {
			t.Errorf("%q is empty, stands twice or leaves its folder", f.Name)
		}
		seen[f.Name] = true
		kinds[filepath.Ext(f.Name)]++
	}
	for _, ext := range []string{".pdf", ".svg", ".png", ".dxf", ".stl", ".3mf", ".csv"} {
		if kinds[ext] == 0 {
			t.Errorf("no %s in the kit: %v", ext, kinds)
		}
	}
}

func BenchmarkBundle(b *testing.B) {
	s := household(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Bundle(s, message.English(), drawing.A4); err != nil {
			b.Fatal(err)
		}
	}
}
