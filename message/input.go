package message

import (
	"errors"
	"fmt"
	"strings"
)

// InputError says that something the user wrote cannot be used: which field,
// what was written there, why, what is allowed, and what to try instead. The
// faces print it field by field; it never hides behind "invalid input".
type InputError struct {
	Field   string // path in the file or form: "pot.circumference"
	Value   string // what was written, shortened if very long
	Reason  Text   // why it cannot be used
	Allowed Text   // the allowed range or list; zero when the reason says it
	Try     string // something that would be accepted, as it would be written
}

// Error tells the whole in one line of English, for logs and tests.
func (e *InputError) Error() string {
	c := English()
	s := fmt.Sprintf("%s: %q: %s", e.Field, e.Value, c.Say(e.Reason))
	if !e.Allowed.IsZero() {
		s += "; " + c.Say(e.Allowed)
	}
	if e.Try != "" {
		s += " (try: " + e.Try + ")"
	}
	return s
}

// InputErrors is every complaint about one input, so that a form can be mended
// in one go.
type InputErrors []*InputError

// Error lists the complaints, one a line.
func (list InputErrors) Error() string {
	lines := make([]string, len(list))
	for i, e := range list {
		lines[i] = e.Error()
	}
	return strings.Join(lines, "\n")
}

// OrNil returns nil when there is nothing to complain about.
func (list InputErrors) OrNil() error {
	if len(list) == 0 {
		return nil
	}
	return list
}

// Complaints finds the input errors in an error, if there are any.
func Complaints(err error) (InputErrors, bool) {
	var list InputErrors
	if errors.As(err, &list) {
		return list, true
	}
	var one *InputError
	if errors.As(err, &one) {
		return InputErrors{one}, true
	}
	return nil, false
}

// Nearest finds the known word that differs least from what was written, for
// the try line of a misspelt name; "" when none is close.
func Nearest(written string, known []string) string {
	written = strings.ToLower(written)
	best, least := "", 1+len(written)/2
	for _, k := range known {
		if d := editDistance(written, k); d < least {
			best, least = k, d
		}
	}
	return best
}

// editDistance is the Levenshtein distance of two words.
func editDistance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := 1; i <= len(a); i++ {
		diagonal := row[0]
		row[0] = i
		for j := 1; j <= len(b); j++ {
			substitute := diagonal
			if a[i-1] != b[j-1] {
				substitute++
			}
			diagonal = row[j]
			row[j] = min(substitute, row[j]+1, row[j-1]+1)
		}
	}
	return row[len(b)]
}
