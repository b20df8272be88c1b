package booklet

import (
	"bytes"
	"strings"
	"testing"

	"stovewright/bench"
	"stovewright/drawing"
	"stovewright/internal/outside"
	"stovewright/message"
)

// The steps stand on paper in the order of the guided run, whatever the test, so
// that what is written is typed in from top to bottom.
func TestFormsFollowTheRun(t *testing.T) {
	pdftotext := outside.Program(t, "pdftotext")
	c := message.English()
	for _, kind := range []bench.Kind{bench.KindBoiling, bench.KindSequence, bench.KindCooking, bench.KindSafety} {
		var b bytes.Buffer
		if err := TestForm(&b, kind, household(t), c, drawing.A4); err != nil {
			t.Fatal(kind, err)
		}
		text := strings.ReplaceAll(strings.Join(strings.Fields(run(t, pdftotext, "-layout", saved(t, b.Bytes()), "-")), " "), "\u00a0", " ")
		at, found := 0, 0
		for _, task := range bench.Guide(bench.Blank(kind)) {
			words := strings.Join(strings.Fields(strings.ReplaceAll(c.Say(task.Words()), "\u00a0", " ")), " ")
			if kind == bench.KindSafety {
				words, _, _ = strings.Cut(words, ":")
				words, _, _ = strings.Cut(words, ",")
				words += " (×"
			}
			if len(words) > 40 {
				words = words[:40]
			}
			place := strings.Index(text[at:], words)
			switch {
			case task.Key == "setup", kind == bench.KindSafety && !strings.Contains(text, words): // no item of the sheet
				continue
			case place < 0 && kind != bench.KindSafety:
				t.Errorf("%s: %q is not on the form, or stands before the step that it follows", kind, words)
				continue
			case place < 0: // the same item at its next point
				continue
			}
			at, found = at+place, found+1
		}
		if want := map[bench.Kind]int{bench.KindSafety: 10}[kind]; found < max(want, 8) {
			t.Errorf("%s: only %d steps are on the form", kind, found)
		}
	}
}
