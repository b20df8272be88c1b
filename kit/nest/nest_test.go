package nest

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"stovewright/proof"
)

func TestProof(t *testing.T) {
	checks := Checks()
	if err := proof.Validate(checks); err != nil {
		t.Fatal(err)
	}
	for _, r := range proof.Verify(checks) {
		if !r.Pass {
			t.Error(r)
		}
	}
}

// fataler is what rapid and testing have in common.
type fataler interface {
	Fatalf(format string, args ...any)
}

// slack covers the grid of 0.01 mm and the rounding of sums.
const slack = 1e-9

// apart reports whether two rectangles keep a distance in x or in y.
func apart(a, b Rect, distance float64) bool {
	return a.X+a.Width+distance <= b.X+slack || b.X+b.Width+distance <= a.X+slack ||
		a.Y+a.Height+distance <= b.Y+slack || b.Y+b.Height+distance <= a.Y+slack
}

func within2(a, outer Rect) bool {
	return a.X >= outer.X-slack && a.Y >= outer.Y-slack &&
		a.X+a.Width <= outer.X+outer.Width+slack && a.Y+a.Height <= outer.Y+outer.Height+slack
}

// verifySheet checks one sheet against the words of the documentation alone.
func verifySheet(t fataler, s Sheet, stocks []Stock, parts []Part, o Options) {
	stock := stocks[s.Stock]
	usable := Rect{stock.Trim, stock.Trim, s.Width - 2*stock.Trim, s.Height - 2*stock.Trim}
	for i, p := range s.Placed {
		part := parts[p.Part]
		w, h := part.Width, part.Height
		if p.Turned {
			w, h = h, w
		}
		if math.Abs(p.Width-w) > slack || math.Abs(p.Height-h) > slack {
			t.Fatalf("placement %d is %g × %g, the part %g × %g, turned %v", i, p.Width, p.Height, part.Width, part.Height, p.Turned)
		}
		if !within2(p.Rect, usable) {
			t.Fatalf("placement %d at %v leaves the sheet %v", i, p.Rect, usable)
		}
		if part.Grain != NoGrain && stock.Grain != NoGrain && (part.Grain == stock.Grain) == p.Turned {
			t.Fatalf("placement %d lies across the grain", i)
		}
		if p.Inside >= 0 {
			verifyInHole(t, s, i, parts, o.Kerf)
			continue
		}
		for k, q := range s.Placed[:i] {
			if q.Inside < 0 && !apart(p.Rect, q.Rect, o.Kerf) {
				t.Fatalf("placements %d %v and %d %v overlap (kerf %g)", k, q.Rect, i, p.Rect, o.Kerf)
			}
		}
	}
	for i, r := range s.Offcuts {
		if r.Width < o.keep()-slack || r.Height < o.keep()-slack || !within2(r, usable) {
			t.Fatalf("offcut %d is %v", i, r)
		}
		for _, p := range s.Placed {
			if !apart(r, p.Rect, o.Kerf) {
				t.Fatalf("offcut %v overlaps %v", r, p.Rect)
			}
		}
		for _, q := range s.Offcuts[:i] {
			if !apart(r, q, o.Kerf) {
				t.Fatalf("offcuts %v and %v overlap", r, q)
			}
		}
		if i > 0 && r.Width*r.Height > s.Offcuts[i-1].Width*s.Offcuts[i-1].Height+slack {
			t.Fatalf("offcut %d is larger than the one before", i)
		}
	}
	if o.Tool == Shear || s.Cuts != nil {
		verifyCuts(t, s, stock, o.Kerf)
	}
}

// verifyInHole checks a disc inside a ring: round about the same middle, with
// a cut's width all round, alone.
func verifyInHole(t fataler, s Sheet, i int, parts []Part, kerf float64) {
	p := s.Placed[i]
	ring := s.Placed[p.Inside]
	dx := p.X + p.Width/2 - ring.X - ring.Width/2
	dy := p.Y + p.Height/2 - ring.Y - ring.Height/2
	if !parts[p.Part].Disc || math.Hypot(dx, dy)+p.Width/2+kerf > parts[ring.Part].Hole/2+1e-5 {
		t.Fatalf("disc %d does not lie in the hole of %d", i, p.Inside)
	}
	for k, q := range s.Placed {
		if k != i && q.Inside == p.Inside {
			t.Fatalf("placements %d and %d share a hole", i, k)
		}
	}
}

// verifyCuts follows the cuts in order, from the whole sheet on. In the end
// each part must be one of the pieces on the floor.
func verifyCuts(t fataler, s Sheet, stock Stock, kerf float64) {
	pieces := []Rect{{0, 0, s.Width, s.Height}}
	same := func(a, b Rect) bool {
		return math.Abs(a.X-b.X)+math.Abs(a.Y-b.Y)+math.Abs(a.Width-b.Width)+math.Abs(a.Height-b.Height) < 1e-8
	}
	for i, c := range s.Cuts {
		at := slices.IndexFunc(pieces, func(p Rect) bool { return same(p, c.Piece) })
		if at < 0 {
			t.Fatalf("cut %d takes %v, which is not among %v", i, c.Piece, pieces)
		}
		p := pieces[at]
		pieces = slices.Delete(pieces, at, at+1)
		near, far, whole, length := p, p, p.Width, p.Height
		if c.Upright {
			near.Width = c.At
			far.X, far.Width = p.X+c.At+kerf, p.Width-c.At-kerf
		} else {
			whole, length = p.Height, p.Width
			near.Height = c.At
			far.Y, far.Height = p.Y+c.At+kerf, p.Height-c.At-kerf
		}
		trimming := i < 4 && stock.Trim > 0
		if math.Abs(c.Length-length) > slack || !trimming && (c.At <= 0 || c.At >= whole) {
			t.Fatalf("cut %d is %+v on %v", i, c, p)
		}
		if trimming && stock.Trim < kerf && c.At == 0 {
			far.X, far.Y = max(far.X, stock.Trim), max(far.Y, stock.Trim)
		}
		for _, r := range []Rect{near, far} {
			if r.Width > slack && r.Height > slack {
				pieces = append(pieces, r)
			}
		}
	}
	for i, p := range s.Placed {
		if p.Inside < 0 && !slices.ContainsFunc(pieces, func(r Rect) bool { return same(r, p.Rect) }) {
			t.Fatalf("after all cuts, placement %d %v is not among %v", i, p.Rect, pieces)
		}
	}
}

// separable tells by brute force whether rectangles can be parted by cuts from
// edge to edge.
func separable(rects []Rect) bool {
	if len(rects) < 2 {
		return true
	}
	for _, pick := range []func(Rect) (from, to float64){
		func(r Rect) (float64, float64) { return r.X, r.X + r.Width },
		func(r Rect) (float64, float64) { return r.Y, r.Y + r.Height },
	} {
		for _, cut := range rects {
			_, line := pick(cut)
			var low, high []Rect
			crossed := false
			for _, r := range rects {
				switch from, to := pick(r); {
				case to <= line+slack:
					low = append(low, r)
				case from >= line-slack:
					high = append(high, r)
				default:
					crossed = true
				}
			}
			if !crossed && len(high) > 0 && separable(low) && separable(high) {
				return true
			}
		}
	}
	return false
}

func rects(s Sheet) []Rect {
	var list []Rect
	for _, p := range s.Placed {
		if p.Inside < 0 {
			list = append(list, p.Rect)
		}
	}
	return list
}

func drawParts(t *rapid.T, most float64) []Part {
	var parts []Part
	for range rapid.IntRange(1, 6).Draw(t, "kinds") {
		side := func(label string) float64 {
			return float64(rapid.IntRange(30, int(1000*most)).Draw(t, label)) / 1000
		}
		p := Part{Width: side("width"), Height: side("height"), Count: rapid.IntRange(1, 6).Draw(t, "count"),
			Grain: Grain(rapid.IntRange(0, 2).Draw(t, "grain"))}
		if rapid.IntRange(0, 3).Draw(t, "round") == 0 {
			p.Disc, p.Height = true, p.Width
			p.Hole = p.Width * rapid.SampledFrom([]float64{0, 0.5, 0.9}).Draw(t, "hole")
		}
		parts = append(parts, p)
	}
	return parts
}

func drawOptions(t *rapid.T) Options {
	return Options{
		Tool: rapid.SampledFrom([]Tool{Shear, Snips}).Draw(t, "tool"),
		Kerf: rapid.SampledFrom([]float64{0, 0.001, 0.0032}).Draw(t, "kerf"),
		Keep: 0.05,
		Work: rapid.SampledFrom([]int{1, 20_000, 100_000}).Draw(t, "work"),
	}
}

func TestNestKeepsItsPromises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		parts := drawParts(t, 0.6)
		o := drawOptions(t)
		stocks := []Stock{{Width: 1.25, Height: 1.0, Count: Unlimited, Grain: AlongHeight,
			Trim: rapid.SampledFrom([]float64{0, 0.01}).Draw(t, "trim")}}
		if rapid.Bool().Draw(t, "second stock") {
			stocks = append(stocks, Stock{Width: 0.7, Height: 0.8, Count: rapid.IntRange(0, 3).Draw(t, "second count")})
		}
		l, err := Nest(stocks, parts, o)
		if err != nil {
			t.Fatal(err)
		}
		placed := make([]int, len(parts))
		used := make([]int, len(stocks))
		for _, s := range l.Sheets {
			verifySheet(t, s, stocks, parts, o)
			used[s.Stock]++
			if o.Tool == Shear && !separable(rects(s)) {
				t.Fatalf("a shear cannot part %v", rects(s))
			}
			for _, p := range s.Placed {
				placed[p.Part]++
			}
		}
		for i, p := range parts {
			if placed[i] != p.Count || l.Missing[i] != 0 {
				t.Fatalf("part %d: %d placed, %d missing, %d wanted", i, placed[i], l.Missing[i], p.Count)
			}
		}
		if len(stocks) > 1 && used[1] > stocks[1].Count {
			t.Fatalf("%d of %d sheets used", used[1], stocks[1].Count)
		}
		if l.Cost < l.CostBound*(1-1e-9) || len(l.Sheets) < l.SheetsBound {
			t.Fatalf("cost %g below %g, or %d sheets below %d", l.Cost, l.CostBound, len(l.Sheets), l.SheetsBound)
		}
	})
}

func TestLimitedStock(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		parts := drawParts(t, 0.6)
		o := drawOptions(t)
		stocks := []Stock{{Width: 1.0, Height: 0.8, Count: 1}}
		l, err := Nest(stocks, parts, o)
		if err != nil {
			t.Fatal(err)
		}
		if len(l.Sheets) > 1 {
			t.Fatalf("%d sheets from one", len(l.Sheets))
		}
		placed := make([]int, len(parts))
		for _, s := range l.Sheets {
			verifySheet(t, s, stocks, parts, o)
			for _, p := range s.Placed {
				placed[p.Part]++
			}
		}
		for i, p := range parts {
			if placed[i]+l.Missing[i] != p.Count {
				t.Fatalf("part %d: %d placed and %d missing of %d", i, placed[i], l.Missing[i], p.Count)
			}
		}
	})
}

func TestFillKeepsItsPromises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		parts := drawParts(t, 0.9)
		for i := range parts {
			if rapid.IntRange(0, 2).Draw(t, "unlimited") == 0 {
				parts[i].Count = Unlimited
			}
			parts[i].Value = float64(rapid.IntRange(0, 5).Draw(t, "value"))
		}
		o := drawOptions(t)
		stock := Stock{Width: 1.0, Height: 0.9, Grain: AlongWidth}
		f, err := Fill(stock, parts, o)
		if err != nil {
			t.Fatal(err)
		}
		verifySheet(t, f.Sheet, []Stock{stock}, parts, o)
		var value float64
		counts := make([]int, len(parts))
		for _, p := range f.Sheet.Placed {
			counts[p.Part]++
			value += parts[p.Part].worth()
		}
		if !slices.Equal(counts, f.Counts) || math.Abs(value-f.Value) > 1e-9*value || f.Value > f.Bound*(1+1e-9) {
			t.Fatalf("counts %v and %v, value %g and %g, bound %g", counts, f.Counts, value, f.Value, f.Bound)
		}
		for i, p := range parts {
			if p.Count != Unlimited && counts[i] > p.Count {
				t.Fatalf("part %d: %d of %d", i, counts[i], p.Count)
			}
		}
	})
}

func TestStripKeepsItsPromises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		parts := drawParts(t, 0.5)
		o := drawOptions(t)
		roll := Stock{Width: 0.6, Trim: rapid.SampledFrom([]float64{0, 0.02}).Draw(t, "trim")}
		l, err := Strip(roll, parts, o)
		if err != nil {
			t.Fatal(err)
		}
		verifySheet(t, l.Sheet, []Stock{roll}, parts, o)
		pieces, top := 0, 0.0
		for _, p := range l.Sheet.Placed {
			top = max(top, p.Y+p.Height)
		}
		for _, p := range parts {
			pieces += p.Count
		}
		if len(l.Sheet.Placed) != pieces {
			t.Fatalf("%d of %d pieces", len(l.Sheet.Placed), pieces)
		}
		if math.Abs(top+roll.Trim-l.Sheet.Height) > slack || l.Sheet.Height < l.Bound-slack {
			t.Fatalf("height %g, top %g, bound %g", l.Sheet.Height, top, l.Bound)
		}
	})
}

func TestSameInputSameLayout(t *testing.T) {
	stocks := []Stock{{Width: 1, Height: 2, Count: Unlimited}, {Width: 1.22, Height: 2.44, Count: 2}}
	run := func(tool Tool) any {
		l, err := Nest(stocks, batch(5), Options{Tool: tool, Kerf: 0.001, Work: 300_000})
		if err != nil {
			t.Fatal(err)
		}
		s, err := Strip(stocks[0], batch(2), Options{Tool: tool, Work: 300_000})
		if err != nil {
			t.Fatal(err)
		}
		return []any{l, s}
	}
	for _, tool := range []Tool{Shear, Snips} {
		if first, second := run(tool), run(tool); !reflect.DeepEqual(first, second) {
			t.Errorf("tool %d: two runs differ", tool)
		}
	}
}

// batch is sheet metal for n stoves of an invented model.
func batch(n int) []Part {
	return []Part{
		{Name: "body", Width: 0.9449, Height: 0.30, Count: n},
		{Name: "skirt", Width: 0.9711, Height: 0.12, Count: n},
		{Name: "ring", Width: 0.32, Height: 0.32, Count: n, Disc: true, Hole: 0.21},
		{Name: "base", Width: 0.31, Height: 0.31, Count: n, Disc: true},
		{Name: "cap", Width: 0.2, Height: 0.2, Count: n, Disc: true},
		{Name: "door", Width: 0.125, Height: 0.13, Count: n},
		{Name: "shelf", Width: 0.11, Height: 0.25, Count: 2 * n},
	}
}

// exhaustive is a second, independent solver for edge-to-edge cuts in whole
// numbers: for every size of sheet, all the largest sets of pieces that can be
// cut from it. It knows no bounds and no tricks.
type exhaustive struct {
	pieces []piece
	memo   map[[2]int][][]int
}

func (e *exhaustive) sets(w, h int) [][]int {
	if s, ok := e.memo[[2]int{w, h}]; ok {
		return s
	}
	var sets [][]int
	for i, p := range e.pieces {
		if int(p.w) <= w && int(p.h) <= h {
			one := make([]int, len(e.pieces))
			one[i] = 1
			sets = e.keep(sets, one)
		}
	}
	for x := 1; 2*x <= w; x++ {
		sets = e.sums(sets, e.sets(x, h), e.sets(w-x, h))
	}
	for y := 1; 2*y <= h; y++ {
		sets = e.sums(sets, e.sets(w, y), e.sets(w, h-y))
	}
	e.memo[[2]int{w, h}] = sets
	return sets
}

func (e *exhaustive) sums(sets, a, b [][]int) [][]int {
	if len(a) == 0 {
		a = [][]int{make([]int, len(e.pieces))}
	}
	if len(b) == 0 {
		b = [][]int{make([]int, len(e.pieces))}
	}
	for _, p := range a {
		for _, q := range b {
			sum := make([]int, len(p))
			for i := range p {
				sum[i] = min(p[i]+q[i], e.pieces[i].n)
			}
			sets = e.keep(sets, sum)
		}
	}
	return sets
}

// keep adds a set unless one already there has as many of everything.
func (e *exhaustive) keep(sets [][]int, s []int) [][]int {
	covers := func(a, b []int) bool {
		for i := range a {
			if a[i] < b[i] {
				return false
			}
		}
		return true
	}
	for _, o := range sets {
		if covers(o, s) {
			return sets
		}
	}
	kept := sets[:0]
	for _, o := range sets {
		if !covers(s, o) {
			kept = append(kept, o)
		}
	}
	return append(kept, s)
}

func (e *exhaustive) value(w, h int) float64 {
	most := 0.0
	for _, s := range e.sets(w, h) {
		var v float64
		for i, n := range s {
			worth := e.pieces[i].value
			if worth == 0 {
				worth = e.pieces[i].w * e.pieces[i].h
			}
			v += float64(n) * worth
		}
		most = max(most, v)
	}
	return most
}

func TestExhaustiveSearchAgreesOnCgcut1(t *testing.T) {
	e := &exhaustive{pieces: cgcut1.pieces, memo: make(map[[2]int][][]int)}
	// 244 is the published optimum; 225 is what the same search says of the
	// turned sheet.
	if v := e.value(15, 10); v != 244 {
		t.Errorf("15 × 10: %g, want 244", v)
	}
	if v := e.value(10, 15); v != 225 {
		t.Errorf("10 × 15: %g, want 225", v)
	}
}

func TestFillAgainstExhaustiveSearch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := instance{float64(rapid.IntRange(3, 9).Draw(t, "width")), float64(rapid.IntRange(3, 9).Draw(t, "height")), nil}
		for range rapid.IntRange(1, 4).Draw(t, "kinds") {
			in.pieces = append(in.pieces, piece{float64(rapid.IntRange(1, int(in.width)).Draw(t, "w")),
				float64(rapid.IntRange(1, int(in.height)).Draw(t, "h")), rapid.IntRange(1, 3).Draw(t, "n"),
				float64(rapid.IntRange(0, 9).Draw(t, "value"))})
		}
		f, err := Fill(in.sheet(), in.parts(), Options{})
		if err != nil {
			t.Fatal(err)
		}
		e := &exhaustive{pieces: in.pieces, memo: make(map[[2]int][][]int)}
		want := e.value(int(in.width), int(in.height))
		if math.Abs(f.Value-want) > 1e-9 || !f.Optimal {
			t.Fatalf("value %g (optimal %v), exhaustive search says %g", f.Value, f.Optimal, want)
		}
	})
}

// Lengths that fit together must still fit when mapped.
func TestDualFeasibleFunctions(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole := rapid.IntRange(2, 400).Draw(t, "whole")
		var lengths []int
		for left := whole; left > 0 && len(lengths) < 30; {
			l := rapid.IntRange(1, left).Draw(t, "length")
			lengths = append(lengths, l)
			left -= l
		}
		others := rapid.SliceOfN(rapid.IntRange(1, whole), 0, 20).Draw(t, "other lengths")
		for i, f := range dualFeasibles(append(slices.Clone(lengths), others...), whole) {
			var sum float64
			for _, l := range lengths {
				sum += f(l, whole)
			}
			if sum > 1+1e-9 {
				t.Fatalf("function %d maps %v of %d to %g", i, lengths, whole, sum)
			}
		}
	})
}

// cutUp makes a problem with a known optimum by cutting a rectangle at random.
func cutUp(seed uint64, w, h, pieces int) instance {
	random := rand.New(rand.NewPCG(seed, 7))
	list := [][2]int{{w, h}}
	for len(list) < pieces {
		largest := 0
		for i, p := range list {
			if p[0]*p[1] > list[largest][0]*list[largest][1] {
				largest = i
			}
		}
		p := list[largest]
		a, b := p, p
		side := 0
		if p[1] > p[0] {
			side = 1
		}
		a[side] = 1 + random.IntN(p[side]-1)
		b[side] = p[side] - a[side]
		list[largest] = a
		list = append(list, b)
	}
	in := instance{width: float64(w), height: float64(h)}
	for _, p := range list {
		if random.IntN(2) == 0 {
			p[0], p[1] = p[1], p[0]
		}
		in.pieces = append(in.pieces, piece{float64(p[0]), float64(p[1]), 1, 0})
	}
	return in
}

// Strips of the sizes of Hopper and Turton's classes C1 to C4, cut up here, so
// that the optimum is known; both tools must stay within a tenth of it.
func TestStripsCutUpFromARectangle(t *testing.T) {
	for _, class := range []struct{ w, h, pieces int }{{20, 20, 16}, {40, 15, 25}, {60, 30, 28}, {60, 60, 49}} {
		for seed := range uint64(4) {
			in := cutUp(seed, class.w, class.h, class.pieces)
			for _, tool := range []Tool{Shear, Snips} {
				l, err := Strip(Stock{Width: in.width * unit}, turned(in.parts()), Options{Tool: tool})
				if err != nil {
					t.Fatal(err)
				}
				if ratio := l.Sheet.Height / unit / in.height; ratio > 1.10+1e-9 || ratio < 1-1e-9 {
					t.Errorf("%d × %d in %d pieces, seed %d, tool %d: %.3f of the optimum", class.w, class.h, class.pieces, seed, tool, ratio)
				}
			}
		}
	}
}

func TestDiscsInRings(t *testing.T) {
	parts := []Part{
		{Name: "ring", Width: 0.30, Height: 0.30, Count: 2, Disc: true, Hole: 0.205},
		{Name: "small ring", Width: 0.20, Height: 0.20, Count: 2, Disc: true, Hole: 0.11},
		{Name: "disc", Width: 0.10, Height: 0.10, Count: 2, Disc: true},
	}
	stock := []Stock{{Width: 0.61, Height: 0.31, Count: Unlimited}}
	l, err := Nest(stock, parts, Options{Tool: Snips, Kerf: 0.002})
	if err != nil {
		t.Fatal(err)
	}
	if len(l.Sheets) != 1 || len(l.Sheets[0].Placed) != 6 {
		t.Fatalf("%d sheets, %d placements", len(l.Sheets), len(l.Sheets[0].Placed))
	}
	verifySheet(t, l.Sheets[0], stock, parts, Options{Tool: Snips, Kerf: 0.002})
	// Two nests of three: π/4·(0.30² − 0.205² + 0.20² − 0.11² + 0.10²) each.
	want := 2 * math.Pi / 4 * (0.09 - 0.042025 + 0.04 - 0.0121 + 0.01)
	if math.Abs(l.PartArea-want) > 1e-12 {
		t.Errorf("part area %.6f m², want %.6f", l.PartArea, want)
	}
	if y := l.PartArea / (0.61 * 0.31); math.Abs(l.Yield()-y) > 1e-12 {
		t.Errorf("yield %g, want %g", l.Yield(), y)
	}
}

// A cut too wide for the hole, or the grain of a square, by hand.
func TestCutsAndGrainByHand(t *testing.T) {
	tight := []Part{{Width: 0.3, Height: 0.3, Count: 1, Disc: true, Hole: 0.2}, {Width: 0.198, Height: 0.198, Count: 1, Disc: true}}
	if demand, pairs := nestDiscs(tight, 0.001); len(pairs) != 1 || demand[1] != 0 {
		t.Errorf("a disc with 1 mm all round: %v", pairs)
	}
	if demand, pairs := nestDiscs(tight, 0.0011); len(pairs) != 0 || demand[1] != 1 {
		t.Errorf("a disc with less than the cut all round: %v", pairs)
	}
	square := Part{Width: 0.5, Height: 0.5, Count: 1, Grain: AlongHeight}
	l, err := Nest([]Stock{{Width: 1, Height: 0.6, Count: 1, Grain: AlongWidth}}, []Part{square}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if !l.Sheets[0].Placed[0].Turned {
		t.Error("the square lies across the grain")
	}
}

func TestOutlineCountsForTheYield(t *testing.T) {
	triangle := Part{Width: 0.4, Height: 0.3, Count: 1, Outline: []Point{{0, 0}, {0.4, 0}, {0, 0.3}}}
	l, err := Nest([]Stock{{Width: 0.4, Height: 0.3, Count: 1}}, []Part{triangle}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(l.Yield()-0.5) > 1e-12 || !l.Optimal || l.Gap() > 1e-12 {
		t.Errorf("yield %g, optimal %v, gap %g", l.Yield(), l.Optimal, l.Gap())
	}
}

// With two sizes at hand the cheaper one is taken for what fits on it.
func TestCheaperSheetForTheRest(t *testing.T) {
	stocks := []Stock{
		{Name: "large", Width: 1, Height: 2, Count: Unlimited, Cost: 20},
		{Name: "small", Width: 1, Height: 1, Count: Unlimited, Cost: 11},
	}
	parts := []Part{{Width: 1, Height: 0.5, Count: 5}} // four on a large sheet, two on a small one
	l, err := Nest(stocks, parts, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if l.Cost != 31 {
		t.Errorf("cost %g, want 20 + 11", l.Cost)
	}
}

// The cut list of a small case, worked out by hand: trim, then two strips.
func TestCutList(t *testing.T) {
	f, err := Fill(Stock{Width: 1.01, Height: 0.61, Trim: 0.005}, []Part{{Width: 1, Height: 0.25, Count: 2}}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	want := []Cut{
		{Rect{0, 0, 1.01, 0.61}, true, 0.005, 0.61},
		{Rect{0.005, 0, 1.005, 0.61}, true, 1, 0.61},
		{Rect{0.005, 0, 1, 0.61}, false, 0.005, 1},
		{Rect{0.005, 0.005, 1, 0.605}, false, 0.6, 1},
		{Rect{0.005, 0.005, 1, 0.6}, false, 0.25, 1},
		{Rect{0.005, 0.255, 1, 0.35}, false, 0.25, 1},
	}
	text := func(cuts []Cut) string {
		s := ""
		for _, c := range cuts {
			s += fmt.Sprintf("%.4f %v %.4f %.4f\n", c.Piece, c.Upright, c.At, c.Length)
		}
		return s
	}
	if got := text(f.Sheet.Cuts); got != text(want) {
		t.Errorf("cuts\n%swant\n%s", got, text(want))
	}
	if len(f.Sheet.Offcuts) != 1 || math.Abs(f.Sheet.Offcuts[0].Height-0.1) > slack {
		t.Errorf("offcuts %v, want one of 1 m × 100 mm", f.Sheet.Offcuts)
	}
}

func BenchmarkNestFiveStoves(b *testing.B) {
	stocks := []Stock{{Width: 1, Height: 2, Count: Unlimited}, {Width: 1.22, Height: 2.44, Count: Unlimited}}
	for b.Loop() {
		if _, err := Nest(stocks, batch(5), Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkNestFiftyStoves(b *testing.B) {
	stocks := []Stock{{Width: 1, Height: 2, Count: Unlimited}}
	for b.Loop() {
		if _, err := Nest(stocks, batch(50), Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkStripC2P1(b *testing.B) {
	for b.Loop() {
		if _, err := Strip(Stock{Width: 40 * unit}, turned(stripC2P1.parts()), Options{Tool: Snips}); err != nil {
			b.Fatal(err)
		}
	}
}
