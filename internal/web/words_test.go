package web

import (
	"context"
	"encoding/xml"
	"io"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"unicode"

	"stovewright/message"
	"stovewright/proof"
	"stovewright/stove"
)

// TestNoWordIsHardCoded shows every page in the pseudo-language, in which each
// sentence of the catalogue stands in brackets. A word outside them is one that
// no translator can reach. Left out are what the user wrote and names that are
// the same in every language, which the pages mark with translate="no", and
// the signs of units.
func TestNoWordIsHardCoded(t *testing.T) {
	register := func() []proof.Check { return stove.Checks() }
	b, id := bench(t, func(c *Config) { c.Catalogue, c.Proof = message.Pseudo(), register })
	ctx := context.Background()
	if err := b.Workshop.Set(ctx, whoSetting, "Amina"); err != nil {
		t.Fatal(err)
	}
	check := func(method, path string, form url.Values) {
		t.Helper()
		w := request(b, method, path, form)
		if w.Code == 303 {
			path, _, _ = strings.Cut(w.Header().Get("Location"), "#")
			w = request(b, "GET", path, nil)
		}
		for _, word := range wordsOutside(t, w.Body.String()) {
			t.Errorf("%s %s: %q is not in the catalogue", method, path, word)
		}
	}
	s := "/stove/" + id
	// a name without letters: the window's title and the drawings carry it too
	want(t, request(b, "POST", s+"/brief", url.Values{"name": {"1"}, "note": {"2"}, "pot.name": {"3"}}), 303)
	for _, path := range allPages(id) {
		check("GET", path, nil)
	}
	check("POST", s+"/set", url.Values{"dim": {"skirt.gap"}, "value": {"4 mm"}, "why": {"it was slow"}})
	check("POST", s+"/set", url.Values{"dim": {"skirt.gap"}, "value": {"400 mm"}})
	check("POST", s+"/brief", url.Values{"do": {"add:more_pots"}})
	check("POST", s+"/brief", url.Values{"do": {"add:at_hand.bodies"}})
	check("POST", s+"/brief", url.Values{"do": {"add:at_hand.sheets"}})
	check("POST", s+"/brief", url.Values{"pot.base": {"round"}, "more_pots[1].circumference": {"60 cm"}, "more_pots[1].height": {"10 cm"}, "more_pots[1].handle_height": {"9 cm"}})
	check("GET", s, nil)
	// a height without letters: the complaint quotes it
	check("POST", s+"/brief", url.Values{"pot.height": {"?"}, "fuel.moisture": {"20"}, "fuel.kind": {"unknown wood"}, "kitchen.people": {"many"}})
	check("GET", s, nil)
	check("GET", s+"/history", nil)
	check("POST", s+"/undo", url.Values{"from": {"stove"}})
	check("POST", "/workshop/import", url.Values{"document": {"pot: {circumferance: 1}"}})
	check("POST", "/workshop/new", url.Values{})
	check("POST", s+"/delete", url.Values{})
	check("GET", "/workshop", nil)
}

// spoken are the attributes that are shown or read aloud.
var spoken = map[string]bool{"aria-label": true, "placeholder": true, "title": true, "alt": true}

// wordsOutside lists the words of a page that stand outside the brackets of
// the pseudo-language.
func wordsOutside(t *testing.T, page string) (list []string) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(page))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	skipped := 0 // depth inside an element that is not to be translated
	depth := 0
	drawing := 0 // depth of the drawing that holds the text
	look := func(text string) {
		if skipped > 0 {
			return
		}
		for _, word := range hardCoded(text) {
			// A drawing breaks sentences into lines, and brackets with them; there
			// the accents tell the words of the catalogue.
			if drawing == 0 || strings.ContainsAny(word, "aceinosuyACEINOSUY") {
				list = append(list, word)
			}
		}
	}
	for {
		token, err := d.Token()
		if err == io.EOF {
			return list
		}
		if err != nil {
			t.Fatalf("%v in %s", err, excerpt(page))
		}
		switch x := token.(type) {
		case xml.StartElement:
			depth++
			untranslated := x.Name.Local == "script"
			if x.Name.Local == "svg" && drawing == 0 {
				drawing = depth
			}
			for _, a := range x.Attr {
				if a.Name.Local == "translate" && a.Value == "no" {
					untranslated = true
				}
			}
			if skipped == 0 && untranslated {
				skipped = depth
			}
			for _, a := range x.Attr {
				if spoken[a.Name.Local] {
					look(a.Value)
				}
			}
		case xml.EndElement:
			if skipped == depth {
				skipped = 0
			}
			if drawing == depth {
				drawing = 0
			}
			depth--
		case xml.CharData:
			look(string(x))
		}
	}
}

var (
	bracketed = regexp.MustCompile(`‹[^›]*›`)
	// unitSigns are written alike in every language: units, file formats, the
	// signs of diameter and π, numbers.
	unitSigns = regexp.MustCompile(`\b(mm|cm|m|in|kg|g|L|mL|kW|W|s|min|h|d|K|J|MJ|Pa|hPa|N|MPa|SVG|PDF|DXF|STL|3MF|CSV|ZIP|TXT|YAML)\b|[°µπØ²³·/%]C?|\be[+-]\d+|\b[A-H]\d?\b`) // and letters that name the boards of a mould, A4
)

func hardCoded(text string) (words []string) {
	text = unitSigns.ReplaceAllString(bracketed.ReplaceAllString(text, " "), " ")
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) }) {
		if !known[word] {
			words = append(words, word)
		}
	}
	return words
}

// known are names that stand as they are: of the program, of the example in
// the title of the window.
var known = map[string]bool{"Stovewright": true}
