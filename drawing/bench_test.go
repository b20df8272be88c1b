package drawing

import (
	"io"
	"testing"
)

func BenchmarkDrawSection(b *testing.B) {
	for b.Loop() {
		sampleSection()
	}
}

func BenchmarkSVG(b *testing.B) {
	s := sampleSection()
	for b.Loop() {
		if err := s.SVG(io.Discard); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPDF(b *testing.B) {
	s := sampleSection()
	for b.Loop() {
		if err := PDF(io.Discard, s); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPNG150(b *testing.B) {
	s := sampleSection()
	for b.Loop() {
		if err := s.PNG(io.Discard, 150); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkDXF(b *testing.B) {
	s := sampleSection()
	for b.Loop() {
		if err := s.DXF(io.Discard); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkTile(b *testing.B) {
	s := samplePattern()
	for b.Loop() {
		Tile(s, A4, samplePatternWords)
	}
}
