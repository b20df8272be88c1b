package drawing

import (
	"bytes"
	"encoding/xml"
	"io"
	"testing"
	"unicode/utf8"
)

// Any string, of any bytes, can be set, measured, wrapped and written in every
// format: nothing panics, the SVG is well-formed, the DXF is ASCII.
func FuzzText(f *testing.F) {
	for _, s := range []string{"", "Chamber", "Ø75 ±2°", "\x00\xff\xfe", "e\u0301 \u200d\u202e", "मिट्टी चूल्हा", "🔥🪵", "\U0010FFFF", "<&>\"'", "\\U+00FC %%d", "a\r\nb\tc", "]]>", "\uFFFE\uFFFF\uFFFD", "(\\)"} {
		f.Add(s, 2.5, 30.0)
	}
	f.Fuzz(func(t *testing.T, str string, height, angle float64) {
		if height > 1000 { // a picture of a letter as large as a house is no use
			height = 1000
		}
		s := NewSheet(Custom(80, 60))
		s.Title, s.Desc = str, str
		s.Furnish(TitleBlock{Title: str, Project: str, Fields: []Field{{str, str}}, Notes: []string{str}})
		s.Write(Pt(40, 40), str, TextStyle{Height: height, Angle: angle, Clear: true})
		s.Horizontal(Pt(10, 20), Pt(20, 20), 15, Dim{Key: str, Label: str, Prefix: str})
		n := s.Notes(Right, R(50, 10, 25, 40))
		n.Add(Note{Target: Pt(10, 10), Text: str, Number: str, Key: str})
		n.Place()
		for _, line := range Wrap(str, 20, TextStyle{}) {
			if !utf8.ValidString(line) {
				t.Errorf("wrapped line %q", line)
			}
		}
		s.Overlaps()
		s.OffSheet()

		var buf bytes.Buffer
		if err := s.SVG(&buf); err != nil {
			t.Fatal(err)
		}
		for d := xml.NewDecoder(&buf); ; {
			if _, err := d.Token(); err == io.EOF {
				break
			} else if err != nil {
				t.Fatal(err)
			}
		}
		buf.Reset()
		if err := s.DXF(&buf); err != nil {
			t.Fatal(err)
		}
		for _, c := range buf.Bytes() {
			if c > 0x7E || c < ' ' && c != '\r' && c != '\n' {
				t.Fatalf("byte %#x in the DXF", c)
			}
		}
		if err := PDF(io.Discard, s); err != nil {
			t.Fatal(err)
		}
		if err := s.PNG(io.Discard, 30); err != nil {
			t.Fatal(err)
		}
	})
}
