// Package nest lays parts out on stock sheets so that little is wasted, and
// says in which order to cut them.
//
// With a shear every cut goes from edge to edge of the piece on the table
// (guillotine cuts); with snips or a torch any layout without overlap will do.
// Round parts take the square around them, except that a disc may be cut from
// the hole of a ring. Each answer comes with a bound: how little sheet, or how
// much value, no layout can beat.
//
// The search is heuristic first and exact where the work allowed suffices. The
// work is counted, not timed, so that the same input gives the same layout on
// every machine. Sizes are in metres and are worked out in steps of 0.01 mm.
package nest

import "math"

// Unlimited as a count means as many as are wanted.
const Unlimited = -1

// DefaultWork is the work allowed when [Options] names none: a few tenths of a
// second on a small computer.
const DefaultWork = 4_000_000

// DefaultKeep is the smallest side of an offcut worth keeping when [Options]
// names none, in metres: a hand's width (common practice, no source).
const DefaultKeep = 0.1

// Grain is the direction of rolling, brushing or wood fibre.
type Grain int

// The grain of a sheet or of a part. A part that has one is only laid so that
// it runs along the grain of the sheet; on a sheet without, or for a part
// without, either way is allowed.
const (
	NoGrain Grain = iota
	AlongWidth
	AlongHeight
)

// Stock is a size of sheet.
type Stock struct {
	Name          string
	Width, Height float64 // m
	Trim          float64 // taken off each edge before use, the cut included, m
	Count         int     // sheets at hand, or Unlimited
	Cost          float64 // of one sheet, in any currency; zero for all sheets counts their area, m²
	Grain         Grain
}

// Point is a point of an outline, in metres from the lower left corner of the
// blank.
type Point struct{ X, Y float64 }

// Part is a blank wanted, one or several alike.
type Part struct {
	Name          string
	Width, Height float64 // of the blank, m
	Count         int     // how many; for [Fill] it may be Unlimited
	Value         float64 // of one, where not all find a place; zero for its blank's area, m²
	Grain         Grain
	Outline       []Point // the true shape, for the yield; nil for the whole blank
	Disc          bool    // round, Width across
	Hole          float64 // diameter of the round hole in a disc, m
}

// Area is the area of the true shape, in square metres.
func (p Part) Area() float64 {
	switch {
	case p.Disc:
		return math.Pi / 4 * (p.Width*p.Width - p.Hole*p.Hole)
	case len(p.Outline) > 0:
		var sum float64
		for i, a := range p.Outline {
			b := p.Outline[(i+1)%len(p.Outline)]
			sum += a.X*b.Y - b.X*a.Y
		}
		return math.Abs(sum) / 2
	}
	return p.Width * p.Height
}

// worth is the value of one part.
func (p Part) worth() float64 {
	if p.Value > 0 {
		return p.Value
	}
	return p.Width * p.Height
}

// Tool says which cuts can be made.
type Tool int

// Shear makes cuts from edge to edge only; Snips (or a torch, or a nibbler)
// may stop and turn.
const (
	Shear Tool = iota
	Snips
)

// Options are the tool and how hard to try. The zero value is a shear without
// kerf.
type Options struct {
	Tool Tool
	Kerf float64 // width of the cut, m; zero for shear and snips
	Keep float64 // smallest side of an offcut worth keeping, m; zero for DefaultKeep
	Work int     // steps of search allowed; zero for DefaultWork
}

func (o Options) work() *meter {
	if o.Work > 0 {
		return &meter{left: o.Work}
	}
	return &meter{left: DefaultWork}
}

func (o Options) keep() float64 {
	if o.Keep > 0 {
		return o.Keep
	}
	return DefaultKeep
}

// meter counts the work down.
type meter struct{ left int }

func (m *meter) spend(n int) { m.left -= n }

// share takes a part of what is left, to be spent on one attempt; the attempt
// gives back what it does not need.
func (m *meter) share(fraction float64, attempt func(*meter)) {
	part := &meter{left: int(float64(max(m.left, 0)) * fraction)}
	m.left -= part.left
	attempt(part)
	m.left += part.left
}

// Rect is a rectangle on a sheet, in metres from its lower left corner.
type Rect struct{ X, Y, Width, Height float64 }

// Placement is one part on a sheet.
type Placement struct {
	Part   int  // index of the part
	Rect        // where its blank lies
	Turned bool // by a quarter turn: Width is the part's height
	Inside int  // index among the sheet's placements of the ring whose hole it is cut from; -1 otherwise
}

// Cut is one cut from edge to edge.
type Cut struct {
	Piece   Rect    // what lies on the table
	Upright bool    // the line runs along the sheet's height, At counts from the piece's left edge; otherwise from its lower edge
	At      float64 // from that edge to the near side of the cut, m: set the stop to this
	Length  float64 // of the cut, m
}

// Sheet is one sheet with what is cut from it.
type Sheet struct {
	Stock   int // index of the stock
	Width   float64
	Height  float64
	Placed  []Placement
	Cuts    []Cut  // in order, where the layout can be cut from edge to edge; otherwise nil
	Offcuts []Rect // what is worth keeping, largest first
}

// PartArea is the true area of all parts placed on the sheet.
func (s Sheet) PartArea(parts []Part) float64 {
	var sum float64
	for _, p := range s.Placed {
		sum += parts[p.Part].Area()
	}
	return sum
}

// Layout is every part on sheets.
type Layout struct {
	Sheets      []Sheet
	Missing     []int   // by part: how many found no place, where stock is limited
	Cost        float64 // of the sheets used: their price, or their area where none is given
	CostBound   float64 // no layout of all parts costs less, with the same discs in holes
	SheetsBound int     // no such layout uses fewer sheets of these sizes
	PartArea    float64 // true area of the parts placed, m²
	SheetArea   float64 // area of the sheets used, m²
	Optimal     bool    // all placed, and the cost meets the bound
}

// Yield is the share of the sheets used that ends up in parts.
func (l *Layout) Yield() float64 { return l.PartArea / l.SheetArea }

// Gap is by how much at most the cost lies above the least possible, as a
// ratio of the bound; it means nothing while parts are missing.
func (l *Layout) Gap() float64 { return l.Cost/l.CostBound - 1 }

// Nest places all parts on as little stock as it can. Where the stock at hand
// does not suffice, it places what is worth most and counts the rest as
// missing. Bad input, such as a part bigger than every sheet, is a
// [stovewright/message.InputErrors] with fields "stock[0].width",
// "parts[3].count", "kerf".
func Nest(stocks []Stock, parts []Part, options Options) (*Layout, error) {
	if err := check(stocks, parts, options, nesting); err != nil {
		return nil, err
	}
	demand, nested := nestDiscs(parts, options.Kerf)
	j := newJob(stocks, parts, demand, options)
	found := j.nest()
	layout := &Layout{Missing: make([]int, len(parts))}
	for _, p := range found.patterns {
		layout.Sheets = append(layout.Sheets, j.sheet(p, stocks, options))
	}
	fillHoles(layout.Sheets, stocks, parts, nested)
	j.measure(layout, stocks, parts)
	return layout, nil
}

// measure adds up the finished layout. The bounds are those of the parts that
// need a place on a sheet of their own.
func (j *job) measure(l *Layout, stocks []Stock, parts []Part) {
	for i, p := range parts {
		l.Missing[i] = p.Count
	}
	for _, s := range l.Sheets {
		for _, p := range s.Placed {
			l.Missing[p.Part]--
		}
		l.Cost += j.boards[s.Stock].cost
		l.PartArea += s.PartArea(parts)
		l.SheetArea += stocks[s.Stock].Width * stocks[s.Stock].Height
	}
	l.SheetsBound, l.CostBound = j.bounds()
	complete := true
	for _, n := range l.Missing {
		complete = complete && n == 0
	}
	l.Optimal = complete && l.Cost <= l.CostBound*(1+1e-9)
}

// Filling is one sheet filled with as much value as possible.
type Filling struct {
	Sheet   Sheet
	Counts  []int   // by part: how many are on the sheet
	Value   float64 // of the parts on it
	Bound   float64 // no layout on this sheet is worth more
	Optimal bool    // the value meets the bound, or the search was complete
}

// Fill lays out one sheet for the greatest value: how many bodies come out of
// this sheet, or which of the parts to cut from the last one. Counts may be
// Unlimited. Rings are not nested in each other's holes. The stock's count and
// cost play no part. Errors are as for [Nest], except that a part too big for
// the sheet is left out; none fitting is an error.
func Fill(stock Stock, parts []Part, options Options) (*Filling, error) {
	if err := check([]Stock{stock}, parts, options, filling); err != nil {
		return nil, err
	}
	demand := make([]int, len(parts))
	for i, p := range parts {
		demand[i] = p.Count
	}
	j := newJob([]Stock{stock}, parts, demand, options)
	best := j.fill(0, j.counts(), j.work)
	f := &Filling{Sheet: j.sheet(best.pattern, []Stock{stock}, options), Counts: make([]int, len(parts)), Bound: best.bound}
	for _, p := range f.Sheet.Placed {
		f.Counts[p.Part]++
		f.Value += parts[p.Part].worth()
	}
	f.Bound = max(f.Bound, f.Value)
	f.Optimal = f.Value >= f.Bound*(1-1e-9)
	return f, nil
}

// Length is a piece of a roll with everything cut from it.
type Length struct {
	Sheet   Sheet   // Height is the length to unroll, m
	Bound   float64 // no layout is shorter, m
	Optimal bool    // the length meets the bound
}

// Strip finds the shortest piece of a roll or a coil from which all parts can
// be cut. The roll's Height and Count play no part; its Trim is taken off both
// edges and both ends.
func Strip(roll Stock, parts []Part, options Options) (*Length, error) {
	roll.Count = 1
	roll.Height = 2*roll.Trim + longest(parts, options.Kerf)
	if err := check([]Stock{roll}, parts, options, unrolling); err != nil {
		return nil, err
	}
	demand := make([]int, len(parts))
	for i, p := range parts {
		demand[i] = p.Count
	}
	j := newJob([]Stock{roll}, parts, demand, options)
	found, bound := j.strip()
	j.boards[0].h = found.height
	ends := 2*roll.Trim - options.Kerf
	roll.Height = metres(found.height) + ends
	l := &Length{Sheet: j.sheet(found.pattern, []Stock{roll}, options), Bound: metres(bound) + ends}
	l.Optimal = found.height <= bound
	return l, nil
}

// longest is a length of roll that holds all parts one after the other.
func longest(parts []Part, kerf float64) float64 {
	var sum float64
	for _, p := range parts {
		sum += float64(max(p.Count, 1)) * (max(p.Width, p.Height) + kerf)
	}
	return sum
}
