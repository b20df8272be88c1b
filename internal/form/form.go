// Package form reads and writes the plain-text files that people fill in by
// hand: YAML in, a struct of texts out, each text exactly as it was written.
//
// YAML turns 075 into sixty-one and 1.50 into 1.5; a measurement must not
// change on its way in, so scalars are taken letter by letter and the package
// that owns the form reads the value. What cannot be read is refused with the
// line, the field, and something to try; all complaints come at once.
package form

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"

	"stovewright/message"
)

// MaxFile is the longest file that is read, in bytes; a form is a page.
const MaxFile = 1 << 18

// maxShown is how many runes of what was written are shown in a complaint.
const maxShown = 60

// Decode reads a YAML or JSON file into the struct that into points to. Its
// fields are strings, structs or pointers to them, slices of these and maps from
// string to string, named by their `yaml` tags. Fields that the file leaves out stay as they are.
// The error is a [message.InputErrors].
func Decode(data []byte, into any) error {
	body, bad := document(data)
	if bad != nil {
		return message.InputErrors{bad}
	}
	root := reflect.ValueOf(into).Elem()
	r := &reader{words: words(root.Type(), nil)}
	if body != nil {
		r.value("", body, root)
	}
	return r.complaints.OrNil()
}

// Names are the names of the fields at the top of a file, in its order: they
// tell what form it is. The error is a [message.InputErrors].
func Names(data []byte) ([]string, error) {
	body, bad := document(data)
	if bad != nil {
		return nil, message.InputErrors{bad}
	}
	var list []string
	pairs, _ := mapping(body)
	for _, p := range pairs {
		list = append(list, text(p.Key))
	}
	return list, nil
}

// Entry is what stands at the top of a file under a name, such as the kind of
// form that it says it is; "" where it does not stand there or is no one value.
// The error is a [message.InputErrors].
func Entry(data []byte, name string) (string, error) {
	body, bad := document(data)
	if bad != nil {
		return "", message.InputErrors{bad}
	}
	pairs, _ := mapping(body)
	for _, p := range pairs {
		if text(p.Key) == name {
			if _, nested := mapping(p.Value); !nested && p.Value.Type() != ast.SequenceType {
				return text(p.Value), nil
			}
		}
	}
	return "", nil
}

// document is the one document of a file, nil where it holds nothing.
func document(data []byte) (ast.Node, *message.InputError) {
	if len(data) > MaxFile {
		return nil, &message.InputError{Field: "file", Value: fmt.Sprintf("%d kB", len(data)/1000), Reason: message.T("form.long"),
			Allowed: message.T("form.long-allowed", "most", MaxFile/1000)}
	}
	if line, deep := tooDeep(data); deep {
		return nil, &message.InputError{Field: "file", Reason: message.T("form.deep", "line", line)}
	}
	file, err := parser.ParseBytes(data, 0, parser.AllowDuplicateMapKey())
	if err != nil {
		return nil, syntaxError(data, err)
	}
	switch list := bodies(file); len(list) {
	case 0:
		return nil, nil
	case 1:
		return list[0], nil
	default:
		return nil, &message.InputError{Field: "file", Reason: message.T("form.two", "line", lineOf(list[1]))}
	}
}

// bodies are the documents of a file that hold more than comments.
func bodies(file *ast.File) []ast.Node {
	var list []ast.Node
	for _, d := range file.Docs {
		if d.Body != nil && d.Body.Type() != ast.CommentType && d.Body.Type() != ast.DirectiveType {
			list = append(list, d.Body)
		}
	}
	return list
}

// Encode writes a form as YAML that [Decode] reads back without a change.
// Where plain YAML would not come back (a line that begins like one of its own
// signs), every text is written between quotes.
func Encode(form any) ([]byte, error) {
	for _, options := range [][]yaml.EncodeOption{{yaml.Indent(2), yaml.IndentSequence(true)}, {yaml.JSON()}} {
		data, err := yaml.MarshalWithOptions(form, options...)
		if err != nil {
			return nil, err
		}
		back := reflect.New(reflect.TypeOf(form))
		if err := Decode(data, back.Interface()); err == nil && same(back.Elem(), reflect.ValueOf(form)) {
			return data, nil
		}
	}
	return nil, errors.New("form: this form does not come back from its file")
}

// same reports whether two forms hold the same texts; a list with nothing in it
// is no list.
func same(a, b reflect.Value) bool {
	switch a.Kind() {
	case reflect.Struct:
		for i := range a.NumField() {
			if !same(a.Field(i), b.Field(i)) {
				return false
			}
		}
		return true
	case reflect.Slice:
		for i := range min(a.Len(), b.Len()) {
			if !same(a.Index(i), b.Index(i)) {
				return false
			}
		}
		return a.Len() == b.Len()
	case reflect.Pointer:
		return a.IsNil() == b.IsNil() && (a.IsNil() || same(a.Elem(), b.Elem()))
	case reflect.Map:
		return a.Len() == 0 && b.Len() == 0 || reflect.DeepEqual(a.Interface(), b.Interface())
	}
	return a.String() == b.String()
}

type reader struct {
	words      []string // every field name of the form, for misspelt ones
	complaints message.InputErrors
}

func (r *reader) complain(field, value string, reason message.Text, try string) {
	r.complaints = append(r.complaints, &message.InputError{Field: field, Value: Clip(value), Reason: reason, Try: try})
}

// value reads one node into a field of the form.
func (r *reader) value(path string, node ast.Node, into reflect.Value) {
	node, ok := plain(node)
	if !ok {
		r.complain(orFile(path), "", message.T("form.reference", "line", lineOf(node)), "")
		return
	}
	if node.Type() == ast.NullType {
		return // a field with nothing behind its colon
	}
	switch into.Kind() {
	case reflect.String:
		r.text(path, node, into)
	case reflect.Struct, reflect.Map:
		pairs, ok := mapping(node)
		if !ok {
			r.complain(orFile(path), text(node), message.T("form.fields-wanted", "line", lineOf(node)), example(path, into.Type()))
			return
		}
		r.pairs(path, node, pairs, into)
	case reflect.Slice:
		r.list(path, node, into)
	case reflect.Pointer: // a part that is there or not
		part := reflect.New(into.Type().Elem())
		r.value(path, node, part.Elem())
		into.Set(part)
	default:
		panic("form: a form holds no " + into.Kind().String())
	}
}

func (r *reader) text(path string, node ast.Node, into reflect.Value) {
	s, ok := scalar(node)
	if !ok {
		r.complain(path, "", message.T("form.text-wanted", "line", lineOf(node)), example(path, into.Type()))
		return
	}
	into.SetString(s)
}

func (r *reader) list(path string, node ast.Node, into reflect.Value) {
	sequence, ok := node.(*ast.SequenceNode)
	if !ok {
		r.complain(path, text(node), message.T("form.list-wanted", "line", lineOf(node)), example(path, into.Type()))
		return
	}
	list := reflect.MakeSlice(into.Type(), len(sequence.Values), len(sequence.Values))
	for i, item := range sequence.Values {
		r.value(fmt.Sprintf("%s[%d]", path, i+1), item, list.Index(i))
	}
	into.Set(list)
}

// pairs reads the fields of a mapping, holding each to the names that the form
// knows and to standing there once.
func (r *reader) pairs(path string, node ast.Node, pairs []*ast.MappingValueNode, into reflect.Value) {
	seen := make(map[string]int)
	for i, pair := range pairs {
		key, ok := scalar(pair.Key)
		line := lineOf(pair.Key)
		here := join(path, key)
		if !ok || pair.Key.IsMergeKey() {
			r.complain(orFile(path), "", message.T("form.reference", "line", line), "")
			continue
		}
		if first, twice := seen[key]; twice {
			r.complain(here, text(pair.Value), message.T("form.twice", "line", line, "first", first), "")
			continue
		}
		seen[key] = line
		if into.Kind() == reflect.Map {
			r.entry(here, key, pair, into)
			continue
		}
		field, known := fieldOf(into, key)
		if !known {
			r.unknown(here, key, pairs, i, into.Type(), flow(node))
			continue
		}
		r.value(here, pair.Value, field)
	}
}

// entry reads one entry of a map of texts. A name with dots may not be written
// as nested mappings: the names are those of the program.
func (r *reader) entry(path, key string, pair *ast.MappingValueNode, into reflect.Value) {
	s, ok := scalar(pair.Value)
	if !ok {
		try := ""
		if inner, nested := mapping(pair.Value); nested && len(inner) > 0 {
			try = key + "." + text(inner[0].Key) + ": " + text(inner[0].Value)
		}
		r.complain(path, "", message.T("form.entry-wanted", "line", lineOf(pair.Value)), try)
		return
	}
	if into.IsNil() {
		into.Set(reflect.MakeMap(into.Type()))
	}
	into.SetMapIndex(reflect.ValueOf(key), reflect.ValueOf(s))
}

// unknown complains about a name that the form does not have at this place.
func (r *reader) unknown(path, key string, pairs []*ast.MappingValueNode, i int, t reflect.Type, braces bool) {
	line := lineOf(pairs[i].Key)
	value := text(pairs[i].Value)
	if braces && i > 0 && value == "" && key != "" && key[0] >= '0' && key[0] <= '9' {
		before := pairs[i-1]
		name, _ := scalar(before.Key)
		whole := text(before.Value) + "," + key
		r.complain(strings.TrimSuffix(path, key)+name, whole, message.T("form.comma", "line", line), strconv.Quote(whole))
		return
	}
	here := names(t)
	near := message.Nearest(key, here)
	if near == "" {
		near = message.Nearest(key, r.words)
	}
	e := &message.InputError{Field: path, Value: Clip(value), Reason: message.T("form.unknown", "line", line),
		Allowed: message.T("form.allowed", "names", strings.Join(here, ", "))}
	if near != "" {
		e.Try = near + ":"
		if slices.Contains(r.words, key) && !slices.Contains(here, key) {
			e.Reason = message.T("form.elsewhere", "line", line)
			e.Try = ""
		}
	}
	r.complaints = append(r.complaints, e)
}

// plain unwraps anchors and tags; aliases are references, which no form needs.
func plain(node ast.Node) (ast.Node, bool) {
	for {
		switch n := node.(type) {
		case *ast.AnchorNode:
			node = n.Value
		case *ast.TagNode:
			node = n.Value
		case *ast.AliasNode, *ast.MergeKeyNode:
			return node, false
		default:
			return node, true
		}
	}
}

// scalar is the text of a node as it was written, quotes resolved; nothing at
// all is an empty text.
func scalar(node ast.Node) (string, bool) {
	node, ok := plain(node)
	if !ok {
		return "", false
	}
	switch n := node.(type) {
	case *ast.StringNode:
		return n.Value, true
	case *ast.LiteralNode:
		return n.Value.Value, true
	case *ast.NullNode:
		return "", true
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.InfinityNode, *ast.NanNode:
		return node.GetToken().Value, true
	}
	return "", false
}

// text is what to show of a node in a complaint; "" for more than a scalar.
func text(node ast.Node) string {
	s, _ := scalar(node)
	return s
}

func mapping(node ast.Node) ([]*ast.MappingValueNode, bool) {
	switch n := node.(type) {
	case *ast.MappingNode:
		return n.Values, true
	case *ast.MappingValueNode:
		return []*ast.MappingValueNode{n}, true
	}
	return nil, false
}

// flow reports whether a mapping is written in braces.
func flow(node ast.Node) bool {
	m, ok := node.(*ast.MappingNode)
	return ok && m.IsFlowStyle
}

func lineOf(node ast.Node) int {
	if pairs, ok := mapping(node); ok && len(pairs) > 0 {
		return pairs[0].Key.GetToken().Position.Line
	}
	return node.GetToken().Position.Line
}

// fieldOf finds the field of a struct by the name it has in the file.
func fieldOf(v reflect.Value, name string) (reflect.Value, bool) {
	t := v.Type()
	for i := range t.NumField() {
		if tag(t.Field(i)) == name && name != "" {
			return v.Field(i), true
		}
	}
	return reflect.Value{}, false
}

func tag(f reflect.StructField) string {
	name, _, _ := strings.Cut(f.Tag.Get("yaml"), ",")
	return name
}

// names are the fields of one struct, in its order.
func names(t reflect.Type) []string {
	var list []string
	for i := range t.NumField() {
		list = append(list, tag(t.Field(i)))
	}
	return list
}

// words are the names of all fields of a form, however deep.
func words(t reflect.Type, list []string) []string {
	switch t.Kind() {
	case reflect.Slice, reflect.Pointer:
		return words(t.Elem(), list)
	case reflect.Struct:
		for i := range t.NumField() {
			list = append(words(t.Field(i).Type, list), tag(t.Field(i)))
		}
	}
	return list
}

// example shows how a field of a kind is written.
func example(path string, t reflect.Type) string {
	if path == "" {
		return "" // whose form it is knows better
	}
	last := path[strings.LastIndexAny(path, ".")+1:]
	if i := strings.IndexByte(last, '['); i >= 0 {
		last = last[:i]
	}
	if last != "" {
		last += ": "
	}
	switch t.Kind() {
	case reflect.Slice:
		if t.Elem().Kind() == reflect.String {
			return last + "[a, b]"
		}
		return last + "[{" + names(t.Elem())[0] + ": …}]"
	case reflect.Struct:
		return last + "{" + names(t)[0] + ": …}"
	case reflect.Map:
		return last + "{…: …}"
	}
	return last + "…"
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

func orFile(path string) string {
	if path == "" {
		return "file"
	}
	return path
}

// Clip shortens what is shown in a complaint.
func Clip(s string) string {
	s = strings.Join(strings.Fields(s), " ")
	if runes := []rune(s); len(runes) > maxShown {
		return string(runes[:maxShown]) + "…"
	}
	return s
}
