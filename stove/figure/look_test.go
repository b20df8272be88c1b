package figure

import (
	"os"
	"testing"

	"stovewright/drawing"
	"stovewright/message"
	"stovewright/stove"
)

func TestLookAll(t *testing.T) {
	f := household()
	if os.Getenv("BIG") != "" {
		f.Pot = stove.PotForm{Circumference: "120 cm", Height: "30 cm", HandleHeight: "22 cm"}
		f.Choices.Chamber = "round"
	}
	s := sized(t, f)
	w, _ := os.Create("/tmp/sw/all.pdf")
	c := message.English()
	sheets := []*drawing.Sheet{Plans(s, c, Options{}), Top(s, c, Options{})}
	if err := drawing.PDF(w, sheets...); err != nil {
		t.Fatal(err)
	}
	for _, sh := range sheets {
		t.Log(sh.Overlaps(), sh.OffSheet())
	}
}
