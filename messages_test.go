package stovewright_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"stovewright/message"
	"stovewright/stove"
)

// computed lists the families of messages whose last part is not written
// anywhere in the source or its data, with what it is made from. All other ids
// are either written in full, or begin with a text that ends in a dot or a
// hyphen and end with a word that is written somewhere.
var computed = map[string]string{
	"bench.group.":  "groups of the tiers of IWA 11, with hyphens for blanks",
	"web.standing.": "the standings of package proof, with hyphens for blanks",
}

// ready lists families of messages that packages keep for faces that are still
// to be made, with the names they are of. A family leaves the list when it is
// used.
var ready = map[string]string{
	"bench.note.": "notes to results",
}

// noMessages are texts of the source that look like message ids and are
// something else.
var noMessages = map[string]string{
	"bench.css":            "file of the bench",
	"bench.js":             "file of the bench",
	"bench.last":           "setting of the workshop file",
	"bench.who":            "setting of the workshop file",
	"brick.ring":           "part of the kit",
	"kit.zip":              "file that is downloaded",
	"workshop.json":        "file of an export",
	"workshop.stovewright": "file that is opened",
	"explore.css":          "file of the bench",
	"explore.js":           "file of the bench",
	"fire.css":             "file of the bench",
	"fire.js":              "file of the bench",
	"fire.yaml":            "file that is downloaded",
	"fuel.C":               "share of an element in the fuel",
	"fuel.H":               "share of an element in the fuel",
	"fuel.O":               "share of an element in the fuel",
	"fuel.N":               "share of an element in the fuel",
	"fuel.S":               "share of an element in the fuel",
	"fuel.ash":             "share of an element in the fuel",
}

// TestMessages holds the catalogue and the source together: no id that is used
// and missing, none that is there and not used.
func TestMessages(t *testing.T) {
	c := message.English()
	s := readSource(t, c)
	other := otherNames(t)
	for id, where := range s.ids {
		if !c.Has(id) && !other[id] && noMessages[id] == "" {
			t.Errorf("%s, used in %s, is not in the catalogue", id, where)
		}
	}
	for id := range noMessages {
		if s.ids[id] == "" {
			t.Errorf("%s is explained as no message, and is not in the source", id)
		}
	}
	for beginning := range computed {
		if s.beginnings[beginning] == "" {
			t.Errorf("no id is computed from %q", beginning)
		}
	}
	for beginning := range ready {
		if where := s.beginnings[beginning]; where != "" {
			t.Errorf("%q is used in %s by now: take it off the list", beginning, where)
		}
	}
	for _, id := range c.IDs() {
		if s.ids[id] == "" && s.beginnings[id] == "" && !s.composed(id) && !waits(id) {
			t.Errorf("%s is in the catalogue and is not used", id)
		}
	}
}

func waits(id string) bool {
	for beginning := range ready {
		if strings.HasPrefix(id, beginning) {
			return true
		}
	}
	return false
}

// otherNames are the fields of the brief and the dimensions of the stove, whose
// names are built like message ids.
func otherNames(t *testing.T) map[string]bool {
	t.Helper()
	list := make(map[string]bool)
	for _, f := range stove.Fields {
		list[f.Path] = true
	}
	for _, id := range message.English().IDs() {
		if dimension, ok := strings.CutPrefix(id, "stove.dim."); ok {
			list[dimension] = true
		}
	}
	return list
}

// source is what the test needs to know of the texts in the source.
type source struct {
	prefixes   map[string]bool   // the files of the catalogue
	ids        map[string]string // texts that look like ids, and a file each stands in
	beginnings map[string]string // texts that look like the beginning of ids
	words      map[string]bool   // every word of every text
	texts      map[string]bool   // whole texts: "ring-", "few cracks"
}

// composed reports whether an id begins and ends with texts of the source.
func (s *source) composed(id string) bool {
	for i := len(id) - 1; i > 0; i-- {
		if id[i] != '.' && id[i] != '-' {
			continue
		}
		beginning, end := id[:i+1], id[i+1:]
		if s.beginnings[beginning] == "" {
			continue
		}
		if computed[beginning] != "" || s.written(end) {
			return true
		}
	}
	return false
}

// written reports whether the end of an id is a word of the source, a number,
// or made of such.
func (s *source) written(end string) bool {
	if s.words[end] || s.texts[strings.ReplaceAll(end, "-", " ")] {
		return true
	}
	if _, err := strconv.Atoi(end); err == nil {
		return true
	}
	if first, rest, ok := strings.Cut(end, "."); ok && s.written(first) && s.written(rest) {
		return true
	}
	for i := range end {
		if end[i] == '-' && s.texts[end[:i+1]] && s.written(end[i+1:]) {
			return true
		}
	}
	return false
}

var (
	idLike  = regexp.MustCompile(`^[a-z]+(\.[a-zA-Z0-9_/-]+)+$`)
	begins  = regexp.MustCompile(`^[a-z]+\.([a-zA-Z0-9_/-]+\.)*([a-zA-Z0-9_/-]+-)?$`)
	quoted  = regexp.MustCompile(`["'` + "`" + `]([a-z]+\.[a-zA-Z0-9._/-]*)["'` + "`" + `]`)
	aWord   = regexp.MustCompile(`[\pL0-9_]+([._-][\pL0-9_]+)*`)
	noWords = []string{"message/en", "docs"} // what says what must not prove that it is used
)

// note takes one text of the source.
func (s *source) note(text, file string) {
	first, _, dotted := strings.Cut(text, ".")
	if dotted && s.prefixes[first] {
		switch {
		case begins.MatchString(text):
			s.beginnings[text] = file
		case idLike.MatchString(text):
			s.ids[text] = file
		}
	}
	s.texts[text] = true
	s.learn(text)
}

func (s *source) learn(text string) {
	for _, w := range aWord.FindAllString(text, -1) {
		s.words[w] = true
		for _, part := range strings.Split(w, ".") {
			s.words[part] = true
		}
	}
}

// readSource reads the string literals of Go, the quoted texts of pages and
// scripts, and the words of data files. Tests are left out.
func readSource(t *testing.T, c *message.Catalogue) *source {
	t.Helper()
	s := &source{prefixes: make(map[string]bool), ids: make(map[string]string), beginnings: make(map[string]string), words: make(map[string]bool), texts: make(map[string]bool)}
	for _, id := range c.IDs() {
		first, _, _ := strings.Cut(id, ".")
		s.prefixes[first] = true
	}
	err := filepath.WalkDir(".", func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() {
			if d.Name() == "testdata" || strings.HasPrefix(d.Name(), ".") && name != "." || contains(noWords, filepath.ToSlash(name)) {
				return filepath.SkipDir
			}
			return nil
		}
		switch {
		case strings.HasSuffix(name, "_test.go"):
			return nil
		case strings.HasSuffix(name, ".go"):
			return s.readGo(name)
		case strings.HasSuffix(name, ".html"), strings.HasSuffix(name, ".js"):
			data, err := os.ReadFile(name)
			for _, m := range quoted.FindAllStringSubmatch(string(data), -1) {
				s.note(m[1], name)
			}
			s.learn(string(data))
			return err
		case strings.HasSuffix(name, ".yaml"), strings.HasSuffix(name, ".json"):
			data, err := os.ReadFile(name)
			s.learn(string(data))
			return err
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func (s *source) readGo(name string) error {
	file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
	if err != nil {
		return err
	}
	ast.Inspect(file, func(n ast.Node) bool {
		if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING {
			if text, err := strconv.Unquote(lit.Value); err == nil {
				s.note(text, name)
			}
		}
		return true
	})
	return nil
}
