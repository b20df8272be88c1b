package workshop

import (
	"strings"
	"testing"

	"github.com/goccy/go-yaml/lexer"
	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func TestDiff(t *testing.T) {
	for _, c := range []struct {
		name, old, new string
		want           []Change
	}{
		{"same", "a: 1\n", "a: 1\n", nil},
		{"value as written", "a: 1.50 m\nb: 2\n", "a: 1.5 m\nb: 2\n", []Change{{Part: FieldPart, Field: "a", Old: "1.50 m", New: "1.5 m"}}},
		{"nested", "pot:\n  rim: {d: 24 cm, h: 2}\n", "pot:\n  rim: {d: 25 cm, h: 2}\n", []Change{{Part: FieldPart, Field: "pot.rim.d", Old: "24 cm", New: "25 cm"}}},
		{"list", "pots:\n- h: 1\n- h: 2\n", "pots:\n- h: 1\n- h: 3\n- h: 4\n", []Change{
			{Part: FieldPart, Field: "pots[1].h", Old: "2", New: "3"}, {Part: FieldPart, Field: "pots[2].h", New: "4"}}},
		{"taken away and added", "a: 1\nb: x\n", "b: x\nc: \"2\"\n", []Change{
			{Part: FieldPart, Field: "a", Old: "1"}, {Part: FieldPart, Field: "c", New: "2"}}},
		{"order of the document", "z: 1\na: 1\n", "z: 2\na: 2\n", []Change{
			{Part: FieldPart, Field: "z", Old: "1", New: "2"}, {Part: FieldPart, Field: "a", Old: "1", New: "2"}}},
		{"json", `{"a": [1, true]}`, `{"a": [1, false]}`, []Change{{Part: FieldPart, Field: "a[1]", Old: "true", New: "false"}}},
		{"long text", "n: |\n  one\n  two\n", "n: |\n  one\n  three\n", []Change{{Part: FieldPart, Field: "n", Old: "one\ntwo\n", New: "one\nthree\n"}}},
		{"comment only", "a: 1 # tape\n", "a: 1 # caliper\n", []Change{{Part: LinePart, Line: 1, Old: "a: 1 # tape", New: "a: 1 # caliper"}}},
		{"not yaml", "one\ntwo\nthree", "zero\none\nthree", []Change{
			{Part: LinePart, Line: 1, New: "zero"}, {Part: LinePart, Line: 2, Old: "two"}}},
		{"no longer yaml", "a: 1\n", "a: [1\n", []Change{{Part: LinePart, Line: 1, Old: "a: 1", New: "a: [1"}}},
		{"a key twice", "a: 1\na: 2\n", "a: 1\na: 3\n", []Change{{Part: LinePart, Line: 2, Old: "a: 2", New: "a: 3"}}},
		{"from nothing", "", "a: 1\n", []Change{{Part: LinePart, Line: 1, New: "a: 1"}}},
		{"alias is not followed", "a: &x 1\nb: *x\n", "a: &x 2\nb: *x\n", []Change{{Part: FieldPart, Field: "a", Old: "1", New: "2"}}},
	} {
		if d := cmp.Diff(c.want, Diff([]byte(c.old), []byte(c.new))); d != "" {
			t.Errorf("%s: %s", c.name, d)
		}
	}
}

// TestDiffLines: the changes of a line comparison, put into the old text, give
// the new one, and there are no more of them than there are lines.
func TestDiffLines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.Map(rapid.SliceOfN(rapid.SampledFrom([]string{"a", "b", "c", ""}), 1, 12),
			func(lines []string) string { return strings.Join(lines, "\n") })
		old, new := text.Draw(t, "old"), text.Draw(t, "new")
		a, b := strings.Split(old, "\n"), strings.Split(new, "\n")
		common := commonLines(a, b)
		last := [2]int{-1, -1}
		for _, p := range common {
			if p[0] <= last[0] || p[1] <= last[1] || a[p[0]] != b[p[1]] {
				t.Fatalf("%v is not a common subsequence of %q and %q", common, a, b)
			}
			last = p
		}
		if want := longest(a, b); len(common) != want {
			t.Fatalf("%q and %q have %d lines in common, not %d", a, b, want, len(common))
		}
		if (len(diffLines(old, new)) == 0) != (old == new) {
			t.Fatalf("comparing %q and %q gave %v", old, new, diffLines(old, new))
		}
	})
}

// longest is the length of the longest common subsequence by its definition.
func longest(a, b []string) int {
	if len(a) == 0 || len(b) == 0 {
		return 0
	}
	row := make([]int, len(b)+1)
	for i := range a {
		diagonal := 0
		for j := range b {
			above := row[j+1]
			if a[i] == b[j] {
				row[j+1] = diagonal + 1
			} else {
				row[j+1] = max(row[j], above)
			}
			diagonal = above
		}
	}
	return row[len(b)]
}

func TestDiffLarge(t *testing.T) {
	// More lines than the table holds, and more bytes than fields are looked for in.
	old := strings.Repeat("a: 1\n", 40000)
	new := "b" + strings.Repeat("\na: 2", 40000)
	if list := Diff([]byte(old), []byte(new)); len(list) != 40001 {
		t.Errorf("got %d changes", len(list))
	}
}

// TestDiffDeep: hostile nesting is not parsed but compared by lines.
func TestDiffDeep(t *testing.T) {
	for _, s := range []string{"[", "{a: ", "- "} {
		doc := []byte(strings.Repeat(s, maxDepth+1) + "1")
		if _, ok := fields(doc); ok || !tooDeep(lexer.Tokenize(string(doc))) {
			t.Errorf("%q was taken %d deep", s, maxDepth+1)
		}
		if list := Diff(doc, append(doc, '2')); len(list) != 1 || list[0].Part != LinePart {
			t.Errorf("%q deep: %v", s, list)
		}
	}
	if _, ok := fields([]byte(strings.Repeat("- [a]\n", 10*maxDepth))); !ok {
		t.Error("a long flat list was called deep")
	}
}

func FuzzDiff(f *testing.F) {
	f.Add([]byte("a: 1\n"), []byte("a: [1, {b: c}]\n"))
	f.Add([]byte("a: &x [*x]\n? b\n: |\n  c\n"), []byte("<<: *x\n!!str a: 'b'\n--- \n- - -"))
	f.Fuzz(func(t *testing.T, old, new []byte) {
		list := Diff(old, new)
		if (len(list) == 0) != (string(old) == string(new)) {
			t.Errorf("comparing %q and %q gave %v", old, new, list)
		}
	})
}
