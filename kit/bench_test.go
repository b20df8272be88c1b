package kit

import (
	"testing"

	"stovewright/drawing"
	"stovewright/message"
)

func BenchmarkMake(b *testing.B) {
	s := sized(b, household())
	for b.Loop() {
		if _, err := Make(s); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFiles(b *testing.B) {
	k := made(b, household())
	c := message.English()
	for b.Loop() {
		if _, err := k.Files(c, drawing.A4); err != nil {
			b.Fatal(err)
		}
	}
}
