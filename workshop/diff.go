package workshop

import (
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"
)

// Change is one difference between two revisions. An empty Old means that
// something was added, an empty New that it was taken away.
type Change struct {
	Part  Part
	Field string // path of the field ("pots[1].height") or name of the attachment; empty for a line
	Line  int    // for a line: its number in the new document, or in the old if it was taken away
	Old   string // as written
	New   string
}

// Part says what of a revision changed.
type Part string

// The parts of a revision.
const (
	NamePart       Part = "name"
	FieldPart      Part = "field"
	LinePart       Part = "line"
	AttachmentPart Part = "attachment"
)

// Diff compares two documents field by field, in the order of the document. If
// either is not one YAML (or JSON) mapping or list, or if the fields are the
// same and only comments or layout differ, it compares line by line.
func Diff(old, new []byte) []Change {
	before, ok1 := fields(old)
	after, ok2 := fields(new)
	if ok1 && ok2 {
		if list := diffFields(before, after); len(list) > 0 {
			return list
		}
	}
	return diffLines(string(old), string(new))
}

// field is one scalar of a document, as written.
type field struct{ path, value string }

func diffFields(before, after []field) []Change {
	values := func(list []field) map[string]string {
		m := make(map[string]string, len(list))
		for _, f := range list {
			m[f.path] = f.value
		}
		return m
	}
	was, is := values(before), values(after)
	var list []Change
	for _, f := range before {
		if _, still := is[f.path]; !still {
			list = append(list, Change{Part: FieldPart, Field: f.path, Old: f.value})
		}
	}
	for _, f := range after {
		if old, known := was[f.path]; !known || old != f.value {
			list = append(list, Change{Part: FieldPart, Field: f.path, Old: old, New: f.value})
		}
	}
	return list
}

// Beyond these a document is compared by lines: it was not made by hand.
const (
	maxFieldBytes = 64 << 10
	maxDepth      = 64
)

// fields lists the scalars of a document with their paths. It walks the syntax
// tree rather than decoding, so that values stay as written and an alias stays
// a name however much it stands for.
func fields(doc []byte) (list []field, ok bool) {
	if len(doc) > maxFieldBytes {
		return nil, false
	}
	tokens := lexer.Tokenize(string(doc))
	if tooDeep(tokens) {
		return nil, false
	}
	file, err := parser.Parse(tokens, 0)
	if err != nil || len(file.Docs) != 1 {
		return nil, false
	}
	var walk func(node ast.Node, path string, depth int) bool
	walk = func(node ast.Node, path string, depth int) bool {
		if depth > maxDepth {
			return false
		}
		switch n := node.(type) {
		case nil:
			list = append(list, field{path, ""})
		case *ast.MappingNode:
			for _, v := range n.Values {
				if !walk(v, path, depth+1) {
					return false
				}
			}
		case *ast.MappingValueNode:
			key := n.Key.GetToken().Value
			if path != "" {
				key = path + "." + key
			}
			return walk(n.Value, key, depth+1)
		case *ast.SequenceNode:
			for i, v := range n.Values {
				if !walk(v, path+"["+strconv.Itoa(i)+"]", depth+1) {
					return false
				}
			}
		case *ast.AnchorNode:
			return walk(n.Value, path, depth+1)
		case *ast.TagNode:
			return walk(n.Value, path, depth+1)
		default:
			list = append(list, field{path, scalar(n)})
		}
		return true
	}
	switch file.Docs[0].Body.(type) {
	case *ast.MappingNode, *ast.MappingValueNode, *ast.SequenceNode:
		return list, walk(file.Docs[0].Body, "", 0) && unique(list)
	}
	return nil, false
}

// tooDeep finds nesting that no person writes, before the parser meets it: its
// time grows with the square of the depth.
func tooDeep(tokens token.Tokens) bool {
	brackets, dashes, line := 0, 0, 0
	for _, t := range tokens {
		if t.Position.Line != line {
			dashes, line = 0, t.Position.Line
		}
		switch t.Type {
		case token.SequenceStartType, token.MappingStartType:
			brackets++
		case token.SequenceEndType, token.MappingEndType:
			brackets--
		case token.SequenceEntryType:
			dashes++
		}
		if brackets > maxDepth || dashes > maxDepth {
			return true
		}
	}
	return false
}

// unique reports whether each path stands for one value.
func unique(list []field) bool {
	seen := make(map[string]bool, len(list))
	for _, f := range list {
		if seen[f.path] {
			return false
		}
		seen[f.path] = true
	}
	return true
}

func scalar(node ast.Node) string {
	switch n := node.(type) {
	case *ast.LiteralNode:
		return n.Value.Value
	case *ast.AliasNode:
		return n.String()
	}
	if t := node.GetToken(); t != nil && t.Type != token.UnknownType {
		return t.Value
	}
	return node.String()
}

// maxCells bounds the table of the line comparison; beyond it everything
// between the common beginning and end counts as changed.
const maxCells = 4 << 20

// diffLines compares texts line by line along their longest common subsequence.
func diffLines(old, new string) []Change {
	a, b := strings.Split(old, "\n"), strings.Split(new, "\n")
	skip := 0
	for skip < len(a) && skip < len(b) && a[skip] == b[skip] {
		skip++
	}
	a, b = a[skip:], b[skip:]
	for len(a) > 0 && len(b) > 0 && a[len(a)-1] == b[len(b)-1] {
		a, b = a[:len(a)-1], b[:len(b)-1]
	}
	var list []Change
	i, j := 0, 0
	for _, pair := range append(commonLines(a, b), [2]int{len(a), len(b)}) {
		for ; i < pair[0] || j < pair[1]; i, j = min(i+1, pair[0]), min(j+1, pair[1]) {
			c := Change{Part: LinePart}
			if i < pair[0] {
				c.Old, c.Line = a[i], skip+i+1
			}
			if j < pair[1] {
				c.New, c.Line = b[j], skip+j+1
			}
			list = append(list, c)
		}
		i, j = pair[0]+1, pair[1]+1
	}
	return list
}

// commonLines gives the index pairs of a longest common subsequence.
func commonLines(a, b []string) [][2]int {
	if len(a)*len(b) > maxCells {
		return nil
	}
	width := len(b) + 1
	length := make([]int32, (len(a)+1)*width) // of the common part of a[i:], b[j:]
	for i := len(a) - 1; i >= 0; i-- {
		for j := len(b) - 1; j >= 0; j-- {
			if a[i] == b[j] {
				length[i*width+j] = length[(i+1)*width+j+1] + 1
			} else {
				length[i*width+j] = max(length[(i+1)*width+j], length[i*width+j+1])
			}
		}
	}
	var pairs [][2]int
	for i, j := 0, 0; i < len(a) && j < len(b); {
		switch {
		case a[i] == b[j]:
			pairs = append(pairs, [2]int{i, j})
			i, j = i+1, j+1
		case length[(i+1)*width+j] >= length[i*width+j+1]:
			i++
		default:
			j++
		}
	}
	return slices.Clip(pairs)
}
