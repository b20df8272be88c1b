package flat

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"stovewright/drawing"
	"stovewright/proof"
)

func TestChecks(t *testing.T) {
	if err := proof.Validate(Checks()); err != nil {
		t.Fatal(err)
	}
	for _, r := range proof.Verify(Checks()) {
		if !r.Pass {
			t.Error(r)
		}
	}
}

// The area of an outline with arcs is compared with plane geometry: π r², and a
// slot of two half discs and a rectangle.
func TestAreaOfOutlines(t *testing.T) {
	for _, c := range []struct {
		name string
		o    Outline
		want float64
	}{
		{"circle", Circle(drawing.Pt(3, -4), 10), math.Pi * 100},
		{"slot", Slot(drawing.Pt(1, 1), drawing.Pt(4, 5), 2), math.Pi + 10},
		{"rectangle", Rectangle(-1, -2, 3, 4), 12},
		{"turned rectangle", Rectangle(-1, -2, 3, 4).Rotated(drawing.Pt(7, 7), 33), 12},
		{"mirrored slot", Slot(drawing.Pt(1, 1), drawing.Pt(4, 5), 2).Mirrored(9), math.Pi + 10},
	} {
		if got := c.o.Area(); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: area %v, want %v", c.name, got, c.want)
		}
		polygon := Polygon(c.o.Flatten(1e-4)...)
		if got := polygon.Area(); math.Abs(got-c.want) > 1e-4*c.want {
			t.Errorf("%s: flattened area %v, want %v", c.name, got, c.want)
		}
	}
	if Circle(drawing.Pt(0, 0), 5).SignedArea() <= 0 || Circle(drawing.Pt(0, 0), 5).Mirrored(0).SignedArea() >= 0 {
		t.Error("the sign of an area does not follow the direction of the outline")
	}
}

func TestContains(t *testing.T) {
	slot := Slot(drawing.Pt(0, 0), drawing.Pt(20, 0), 10)
	for p, want := range map[drawing.Point]bool{{X: 0, Y: 4.9}: true, {X: -4.9, Y: 0}: true, {X: -4, Y: 4}: false, {X: 10, Y: 5.1}: false, {X: 24.9, Y: 0}: true} {
		if slot.Contains(p) != want {
			t.Errorf("point %v: inside is %v", p, !want)
		}
	}
}

// A strip folded up again has the legs it was developed from: walk along the
// neutral axis and find where the outside faces meet.
func TestDevelopedStripFoldsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		thickness := rapid.Float64Range(0.3, 3).Draw(t, "thickness")
		n := rapid.IntRange(1, 5).Draw(t, "folds")
		var legs []float64
		var folds []Fold
		for i := range n + 1 {
			legs = append(legs, rapid.Float64Range(30, 200).Draw(t, "leg"))
			if i < n {
				folds = append(folds, Fold{Angle: rapid.Float64Range(0.1, math.Pi/2).Draw(t, "angle"), Radius: thickness * rapid.Float64Range(0.5, 4).Draw(t, "radius")})
			}
		}
		s := Develop(legs, folds, thickness)
		if len(s.Lines) != n {
			t.Fatalf("%d fold lines for %d folds", len(s.Lines), n)
		}
		from, tangent := 0.0, 0.0 // end of the last bent part, and its setback
		for i, line := range s.Lines {
			k := DIN6935Factor(folds[i].Radius, thickness)
			half := BendAllowance(folds[i], thickness, k) / 2
			leg := tangent + (line - half - from) + Setback(folds[i], thickness)
			if math.Abs(leg-legs[i]) > 1e-9 {
				t.Fatalf("leg %d folds to %v, want %v", i, leg, legs[i])
			}
			from, tangent = line+half, Setback(folds[i], thickness)
		}
		if last := tangent + s.Length - from; math.Abs(last-legs[n]) > 1e-9 {
			t.Fatalf("last leg folds to %v, want %v", last, legs[n])
		}
	})
}

// Rolled up again, a developed opening looks as it was meant to from the front.
func TestOpeningRollsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.Float64Range(100, 900).Draw(t, "diameter")
		w := d * rapid.Float64Range(0.05, 0.9).Draw(t, "width share")
		h := rapid.Float64Range(20, 300).Draw(t, "height")
		slope := rapid.Float64Range(0, 30).Draw(t, "slope")
		seen := []drawing.Point{{X: -w / 2, Y: 0}, {X: w / 2, Y: 0}, {X: w / 2, Y: h}, {X: -w / 2, Y: h + slope}}
		outline := Polygon(seen...)
		for _, p := range DevelopOpening(seen, d) {
			front := drawing.Pt(d/2*math.Sin(p.X/(d/2)), p.Y)
			if gap := distance(outline, front); gap > 0.01 {
				t.Fatalf("%v lies %v mm off the opening", front, gap)
			}
		}
	})
}

// distance is how far a point lies from the edges of a polygon.
func distance(o Outline, p drawing.Point) float64 {
	best := math.Inf(1)
	for i, a := range o {
		b := o[(i+1)%len(o)]
		along := b.Point.Sub(a.Point)
		s := p.Sub(a.Point)
		u := max(0, min(1, (s.X*along.X+s.Y*along.Y)/(along.Len()*along.Len())))
		best = min(best, p.Dist(a.Point.Lerp(b.Point, u)))
	}
	return best
}

// The hole for a slanting rod is checked point by point: a rod of the hole's
// diameter at the offset meets the wall between the first and the last angle.
func TestChordSlotHoldsTheRod(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.Float64Range(50, 500).Draw(t, "radius")
		hole := rapid.Float64Range(4, 26).Draw(t, "hole")
		offset := rapid.Float64Range(0, 0.95).Draw(t, "share") * (r - hole)
		first, middle, last, ok := ChordSlot(offset, hole, r)
		if !ok {
			t.Skip()
		}
		for i := range 41 {
			across := offset - hole/2 + hole*float64(i)/40 // line of the rod parallel to its axis
			along := math.Sqrt(r*r - across*across)
			angle := math.Atan2(along, across)
			if angle < first-1e-9 || angle > last+1e-9 {
				t.Fatalf("line at %v meets the wall at %v, outside %v to %v", across, angle, first, last)
			}
		}
		if middle <= first || middle >= last {
			t.Fatalf("the axis at %v is outside the slot", middle)
		}
	})
}

func TestSeamFor(t *testing.T) {
	for _, c := range []struct {
		allowance float64
		foldable  bool
		want      Seam
	}{
		{18, true, Seam{Grooved, 6, 18}},
		{0, true, Seam{Kind: Butt}},
		{20, false, Seam{Kind: Lap, Allowance: 20}},
		{6, true, Seam{Kind: Lap, Allowance: 6}},
	} {
		if got := SeamFor(c.allowance, c.foldable); got != c.want {
			t.Errorf("%v mm, foldable %v: %+v, want %+v", c.allowance, c.foldable, got, c.want)
		}
	}
}
