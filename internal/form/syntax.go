package form

import (
	"bytes"
	"errors"
	"strings"

	"github.com/goccy/go-yaml"

	"stovewright/message"
)

// slips are the usual mistakes of a file that is no YAML, by what the YAML
// reader says of them. Whatever is not listed is told in the reader's words.
var slips = []struct{ says, id string }{
	{"found character '\t'", "form.tab"},
	{"could not find end character", "form.quote"},
	{"unexpected key name", "form.colon"},
	{"value is not allowed in this context", "form.indent"},
	{"sequence end token", "form.bracket"},
	{"could not find flow map", "form.bracket"},
	{"non-map value is specified", "form.colon"},
}

// syntaxError tells what is wrong with a file that is no YAML, and shows the
// line.
func syntaxError(data []byte, err error) *message.InputError {
	e := &message.InputError{Field: "file"}
	line, said := 1, err.Error()
	var syntax yaml.Error
	if errors.As(err, &syntax) {
		said = syntax.GetMessage()
		if token := syntax.GetToken(); token != nil {
			line = token.Position.Line
		}
	}
	if lines := strings.Split(string(data), "\n"); line >= 1 && line <= len(lines) {
		e.Value = Clip(strings.ToValidUTF8(lines[line-1], "�"))
	}
	e.Reason = message.T("form.yaml", "line", line, "reason", Clip(said))
	for _, s := range slips {
		if strings.Contains(said, s.says) {
			e.Reason = message.T(s.id, "line", line)
			break
		}
	}
	return e
}

// maxDepth is how deep brackets and dashes may stand in each other; a form goes
// five deep.
const maxDepth = 100

// tooDeep finds brackets or dashes that stand in each other without end: the
// YAML reader would take very long over them. What stands between double quotes
// is text.
func tooDeep(data []byte) (line int, deep bool) {
	depth, quoted := 0, false
	for i, line := 0, 1; i < len(data); i++ {
		switch c := data[i]; {
		case c == '\n':
			line++
		case c == '"':
			quoted = !quoted
		case quoted && c == '\\':
			i++
		case quoted:
		case c == '[' || c == '{':
			depth++
		case (c == ']' || c == '}') && depth > 0:
			depth--
		case bytes.HasPrefix(data[i:], dashes):
			depth = maxDepth + 1
		}
		if depth > maxDepth {
			return line, true
		}
	}
	return 0, false
}

var dashes = bytes.Repeat([]byte("- "), maxDepth)
