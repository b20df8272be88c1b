package kit

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"stovewright/drawing"
	"stovewright/kit/flat"
	"stovewright/message"
	"stovewright/stove"
	"stovewright/stove/stovetest"
)

// anyForm is a random brief with sheets at hand and a few dimensions overridden.
func anyForm(t *rapid.T) stove.Form {
	f := stovetest.Form(t)
	if rapid.Bool().Draw(t, "has sheet") {
		f.AtHand.Sheets = []stove.SheetForm{
			{Width: "1000 mm", Length: "2000 mm", Thickness: rapid.SampledFrom([]string{"0.6 mm", "0.8 mm", "1.0 mm", "1.5 mm"}).Draw(t, "sheet"),
				Coating: rapid.SampledFrom([]string{"", "bare", "galvanised", "stainless"}).Draw(t, "coating"), Count: rapid.SampledFrom([]string{"", "1", "3"}).Draw(t, "sheets")},
			{Width: "400 mm", Length: "500 mm", Thickness: "0.8 mm"},
		}
	}
	f.Choices.Skirt = rapid.SampledFrom([]string{"", "bare", "stainless", "galvanised"}).Draw(t, "skirt")
	f.AtHand.Brick.DryShrinkage = rapid.SampledFrom([]string{"", "0 %", "4.5 %", "12 %"}).Draw(t, "drying")
	f.AtHand.Brick.Firing = rapid.SampledFrom([]string{"", "0 %", "3 %"}).Draw(t, "firing")
	f.Yours = map[string]string{}
	for _, o := range overrides {
		if rapid.IntRange(0, 6).Draw(t, "override "+o.id) == 0 {
			f.Yours[o.id] = rapid.SampledFrom(o.values).Draw(t, o.id)
		}
	}
	return f
}

var overrides = []struct {
	id     string
	values []string
}{
	{"body.thickness", []string{"0.5 mm", "1.2 mm", "2 mm"}},
	{"skirt.thickness", []string{"0.4 mm", "1 mm", "1.5 mm"}},
	{"top.thickness", []string{"0.6 mm", "2 mm"}},
	{"base.feet", []string{"0 mm", "8 mm", "60 mm", "200 mm"}},
	{"base.feet_count", []string{"3", "6"}},
	{"rest.rod", []string{"6 mm", "12 mm", "20 mm"}},
	{"brick.courses", []string{"2", "4", "5"}},
	{"mouth.height", []string{"80 mm", "130 mm"}},
	{"shelf.grate", []string{"0 mm", "40 mm", "100 mm"}},
	{"skirt.seam", []string{"0 mm", "8 mm", "25 mm"}},
	{"body.seam", []string{"0 mm", "15 mm"}},
	{"mouth.lip", []string{"0 mm", "60 mm"}},
	{"skirt.rise", []string{"0 mm", "30 mm"}},
	{"floor.thickness", []string{"20 mm"}},
	{"brick.joint", []string{"0 mm", "5 mm"}},
	{"fill.least", []string{"8 mm", "60 mm"}},
}

// anyKit makes a kit of a random stove; a refusal must be one that the user can
// mend.
func anyKit(t *rapid.T) *Kit {
	b, err := anyForm(t).Read()
	if err != nil {
		t.Skip("the form is refused: ", err)
	}
	s, err := stove.Size(b)
	if err != nil {
		t.Skip("the stove is refused: ", err)
	}
	k, err := Make(s)
	if err != nil {
		list, ok := message.Complaints(err)
		if !ok {
			t.Fatalf("not for the user: %v", err)
		}
		for _, e := range list {
			if s.Dimension(e.Field[len("yours."):]) == nil || !message.English().Has(e.Reason.ID) {
				t.Fatalf("%v", e)
			}
		}
		t.Skip("the kit is refused: ", err)
	}
	return k
}

func TestKitOfAnyStove(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := anyKit(t)
		for i := range k.Patterns {
			p := &k.Patterns[i]
			for j := range p.Figures {
				checkFigure(t, fmt.Sprintf("%s figure %d", p.ID, j+1), &p.Figures[j])
			}
			if len(p.Coordinates()) < len(p.Figures[0].Outer) {
				t.Errorf("%s: the coordinate table lacks corners", p.ID)
			}
		}
		checkBlanks(t, k)
		checkParts(t, k)
		checkMoulds(t, k)
	})
}

// checkFigure: the outline is closed, runs anticlockwise and does not cross
// itself; every hole lies inside it and clear of the others; folds and marks
// lie on the figure.
func checkFigure(t *rapid.T, name string, f *Figure) {
	outer := f.Outer.Flatten(0.2)
	if f.Outer.SignedArea() <= 1 {
		t.Errorf("%s: area %v mm²", name, f.Outer.SignedArea())
	}
	if crosses(outer) {
		t.Errorf("%s: the outline crosses itself: %v", name, f.Outer)
	}
	fine := flat.Polygon(f.Outer.Flatten(0.01)...)
	for i, h := range f.Holes {
		points := h.Outline.Flatten(0.2)
		if crosses(points) {
			t.Errorf("%s: hole %d crosses itself", name, i+1)
		}
		for _, p := range points {
			if !fine.Contains(p) {
				t.Errorf("%s: %s (hole %d) reaches %v, outside the outline", name, h.Name.ID, i+1, p)
				break
			}
		}
		for j, o := range f.Holes[:i] {
			if meet(points, o.Outline.Flatten(0.2)) {
				t.Errorf("%s: holes %d (%s) and %d (%s) run into each other", name, j+1, o.Name.ID, i+1, h.Name.ID)
			}
		}
	}
	room := f.Outer.Bounds().Grow(0.01)
	for _, l := range append(append([]Line{}, f.Folds...), f.Marks...) {
		if !room.ContainsRect(l.Path().Bounds()) {
			t.Errorf("%s: line %s leaves the figure", name, l.Name.ID)
		}
	}
}

// crosses reports whether two edges of a polygon that are not neighbours meet.
func crosses(p []drawing.Point) bool {
	n := len(p)
	for i := range n {
		for j := i + 2; j < n; j++ {
			if i == 0 && j == n-1 {
				continue
			}
			if segmentsMeet(p[i], p[(i+1)%n], p[j], p[(j+1)%n]) {
				return true
			}
		}
	}
	return false
}

func meet(a, b []drawing.Point) bool {
	for i := range a {
		for j := range b {
			if segmentsMeet(a[i], a[(i+1)%len(a)], b[j], b[(j+1)%len(b)]) {
				return true
			}
		}
	}
	return flat.Polygon(a...).Contains(b[0]) || flat.Polygon(b...).Contains(a[0])
}

func segmentsMeet(a, b, c, d drawing.Point) bool {
	side := func(p, q, r drawing.Point) float64 { return (q.X-p.X)*(r.Y-p.Y) - (q.Y-p.Y)*(r.X-p.X) }
	s1, s2, s3, s4 := side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b)
	const touch = 1e-9
	return s1*s2 < -touch && s3*s4 < -touch
}

// checkBlanks: the rolled blanks close edge to edge, and every rod of the stove
// finds its two holes where a straight line pierces the cylinder.
func checkBlanks(t *rapid.T, k *Kit) {
	s := k.Stove
	var skirts []*Pattern
	bodies := 0.0
	for i := range k.Patterns {
		p := &k.Patterns[i]
		switch {
		case strings.HasPrefix(p.ID, "skirt.") && p.ID != "skirt.clip":
			skirts = append(skirts, p)
		case strings.HasPrefix(p.ID, "body.") && p.Use == Steel:
			bodies += float64(p.Count) * (p.Bounds().W() - toMM(s.Value("body.seam").SI))
		}
	}
	around := math.Pi * toMM(s.SkirtInner+s.SkirtMetal)
	closed := 0.0
	for _, p := range skirts {
		closed += p.Bounds().W() - toMM(s.SkirtSeam)
	}
	if math.Abs(closed-around) > 1e-6 {
		t.Errorf("skirt closes %v mm, want %v", closed, around)
	}
	if s.Container == nil {
		if around := math.Pi * toMM(s.BodyInner+s.BodyThickness); math.Abs(bodies-around) > 1e-6 {
			t.Errorf("body closes %v mm, want %v", bodies, around)
		}
	}
	checkRodHoles(t, k, skirts)
}

// checkRodHoles walks along the upper and lower, inner and outer lines of each
// rod: where they pierce the skirt, the sheet has its hole.
func checkRodHoles(t *rapid.T, k *Kit, skirts []*Pattern) {
	s := k.Stove
	r := toMM(s.SkirtInner+s.SkirtMetal) / 2
	front := math.NaN() // angle of the first panel's left edge less its seam
	for _, l := range skirts[0].Figures[0].Marks {
		if l.Name.ID == "kit.mark.front" {
			front = l.A.X
		}
	}
	if len(skirts) > 1 || math.IsNaN(front) {
		return // panels are checked by their count and widths
	}
	holes := 0
	for _, h := range skirts[0].Figures[0].Holes {
		if len(h.Centres) == 2 {
			holes++
		}
	}
	if holes != 2*len(s.Rods()) {
		t.Fatalf("%d rod holes", holes)
	}
	for _, rod := range s.Rods() {
		n := drawing.Polar(1, rod.Normal*180/math.Pi)
		along := drawing.Pt(-n.Y, n.X)
		for _, side := range []float64{-1, -0.7, 0, 0.7, 1} {
			off := toMM(s.RodOffset) + side*toMM(s.RodDiameter)/2
			half := math.Sqrt(r*r - off*off)
			up := toMM(s.RodDiameter) / 2 * math.Sqrt(1-side*side)
			for _, end := range []float64{-half, half} {
				p := n.Mul(off).Add(along.Mul(end))
				x := front + math.Atan2(p.Y, p.X)*r
				w := skirts[0].Bounds().W() - toMM(s.SkirtSeam)
				if x < toMM(s.SkirtSeam)/2 {
					x += w
				} else if x > w+toMM(s.SkirtSeam)/2 {
					x -= w
				}
				for _, dy := range []float64{-up, up} {
					q := drawing.Pt(x, toMM(s.RodHeight)+dy)
					inside := false
					for _, h := range skirts[0].Figures[0].Holes {
						inside = inside || len(h.Centres) == 2 && h.Outline.Contains(q)
					}
					if !inside {
						t.Errorf("the rod at %v° meets sheet at %v", rod.Normal*180/math.Pi, q)
					}
				}
			}
		}
	}
}

// checkParts: everything weighs something and is named, and every blank of sheet
// is either laid out or complained about.
func checkParts(t *rapid.T, k *Kit) {
	c := message.English()
	for _, p := range k.Parts {
		if p.Count < 1 || !(p.Mass > 0) && p.ID != "lining" && p.ID != "slip" || !c.Has(p.Name.ID) || math.IsNaN(p.Mass) {
			t.Errorf("part %s: %d of %v kg, %q", p.ID, p.Count, p.Mass, c.Say(p.Name))
		}
		for _, id := range p.Patterns {
			if k.Pattern(id) == nil {
				t.Errorf("part %s: no pattern %s", p.ID, id)
			}
		}
	}
	laid := map[string]int{}
	for _, g := range k.Cutting {
		for _, s := range g.Layout.Sheets {
			for _, at := range s.Placed {
				laid[g.Parts[at.Part].Name]++
			}
		}
	}
	tooBig := 0
	for _, r := range k.Remarks {
		if r.ID == "kit.remark.too-big" {
			tooBig++
		}
	}
	for _, p := range k.Patterns {
		if p.Use == Steel && laid[p.ID] != p.Count && tooBig == 0 {
			t.Errorf("%d of %d %s are laid out", laid[p.ID], p.Count, p.ID)
		}
	}
	for _, p := range k.Purchases {
		if p.Count == 0 && !(p.Amount.SI > 0) && p.ID != "perlite" && p.ID != "slip" {
			t.Errorf("nothing to buy of %s", p.ID)
		}
	}
}

// checkMoulds: every fired piece has a mould, closed solids, and gauges that
// close in from wet to fired.
func checkMoulds(t *rapid.T, k *Kit) {
	makes := map[string]bool{}
	for _, d := range k.Moulds {
		for _, id := range d.Makes {
			makes[id] = true
		}
		for _, o := range d.Solids {
			if err := o.Solid.Check(); err != nil {
				t.Errorf("%s %s: %v", d.ID, o.Name, err)
			}
		}
		for _, g := range d.Gauges {
			if g.Wet.Go < g.Dry.Go || g.Dry.Go < g.Fired.Go || g.Fired.NoGo >= g.Fired.Go {
				t.Errorf("%s: gauge %+v", d.ID, g)
			}
		}
	}
	for i := range k.Parts {
		if p := &k.Parts[i]; isBrick(p) && !makes[p.ID] {
			t.Errorf("no mould for %s", p.ID)
		}
	}
}

func TestNoTextOverlapsOnAnyPattern(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := anyKit(t)
		part := rapid.IntRange(0, 4).Draw(t, "a fifth of the patterns")
		for i := part; i < len(k.Patterns); i += 5 {
			p := &k.Patterns[i]
			s, _ := p.Sheet(message.English())
			if pairs := s.Overlaps(); len(pairs) > 0 {
				t.Errorf("%s: %q lies on %q", p.ID, pairs[0].A.String, pairs[0].B.String)
			}
			if off := s.OffSheet(); len(off) > 0 {
				t.Errorf("%s: %q leaves the sheet", p.ID, off[0].String)
			}
		}
	})
}
