package kit

import (
	"math"

	"stovewright/brick"
	"stovewright/message"
	"stovewright/quantity"
)

// Cut is one line of the cut list.
type Cut struct {
	ID       string // of the pattern, or of the part where it has none
	Name     message.Text
	Use      Use
	Count    int
	Material string  // key of package material; empty for boards and card
	Length   float64 // m
	Width    float64 // m; 0 for rods
	Thick    float64 // m; diameter of a rod
}

func (m *maker) cutRod(id string, name message.Text, count int, length float64) {
	m.k.Cuts = append(m.k.Cuts, Cut{ID: id, Name: name, Use: Rod, Count: count, Material: "mild-steel", Length: length, Thick: m.s.RodDiameter})
}

func (m *maker) cutBar(id string, name message.Text, count int, length float64) {
	m.k.Cuts = append(m.k.Cuts, Cut{ID: id, Name: name, Use: Bar, Count: count, Material: "mild-steel", Length: length, Width: barWidth * mm, Thick: barThickness * mm})
}

// cutList puts the blanks of sheet before the bars, and the boards after them.
func (m *maker) cutList() {
	var sheets, boards []Cut
	for i := range m.k.Patterns {
		p := &m.k.Patterns[i]
		if p.Use == Steel {
			b := p.Bounds()
			sheets = append(sheets, Cut{ID: p.ID, Name: p.Name, Use: Steel, Count: p.Count, Material: p.Material,
				Length: max(b.W(), b.H()) * mm, Width: min(b.W(), b.H()) * mm, Thick: p.Thickness})
		}
	}
	for _, d := range m.k.Moulds {
		boards = append(boards, d.cuts()...)
	}
	m.k.Cuts = append(append(sheets, m.k.Cuts...), boards...)
}

// cuts are the boards of a mould: the base, the frame, dividers and blocks.
func (d *Mould) cuts() []Cut {
	b := d.Plan.Bounds()
	for _, board := range d.Boards {
		b = b.Union(board.Plan.Bounds())
	}
	b = b.Grow(baseMargin)
	list := []Cut{{ID: d.ID, Name: message.T("kit.cut.base-board"), Use: Wood, Count: 1, Length: b.W() * mm, Width: b.H() * mm, Thick: boardThickness * mm}}
	for _, board := range d.Boards {
		list = append(list, Cut{ID: d.ID, Name: board.name(), Use: Wood, Count: 1,
			Length: board.Length * mm, Width: board.Height * mm, Thick: board.Thickness * mm})
	}
	for _, i := range d.Inserts {
		c := Cut{ID: d.ID, Name: i.Name, Use: Wood, Count: 1, Length: (b.W() - 2*baseMargin) * mm, Width: (b.H() - 2*baseMargin) * mm, Thick: i.Height * mm}
		if i.Divider {
			c.Length, c.Width, c.Thick = (i.A.Dist(i.B)-2*insertPlay)*mm, i.Height*mm, dividerThickness*mm
		} else {
			inner := d.Plan.Bounds()
			c.Length, c.Width = (inner.W()-2*insertPlay)*mm, (inner.H()-2*insertPlay)*mm
		}
		list = append(list, c)
	}
	return list
}

// leastBevel is the angle from which a board's start is bevelled: a smaller one
// would be read as none, rad.
const leastBevel = 0.05 * math.Pi / 180

// name says how a board's start is cut, if it is not square.
func (b *Board) name() message.Text {
	if math.Abs(b.Bevel) < leastBevel {
		return message.T("kit.cut.board-square", "label", b.Label)
	}
	return message.T("kit.cut.board", "label", b.Label, "bevel", quantity.Deg(math.Abs(b.Bevel)))
}

// Purchase is one line of the shopping list: so many pieces, or an amount in
// the unit it is sold in.
type Purchase struct {
	ID      string
	Name    message.Text
	Count   int            // pieces; 0 where Amount says how much
	Size    message.Text   // of one piece
	Amount  quantity.Value // in all
	AtHand  bool           // taken from what the brief says is there
	Because message.Text
}

// Quantities (common practice).
const (
	rodSpareLength  = 0.02 // m of rod and bar lost at each cut and end
	brickSpill      = 0.04 // of the wet body
	brickConfidence = 0.95 // that one kiln load gives the whole set
	looseSpill      = 0.05
	slipShare       = 1.0 / 8 // of the lining's volume
	rivetSpare      = 1.15
)

func (m *maker) buy() error {
	m.cutList()
	m.buySheet()
	m.buyBar()
	if err := m.buyBrick(); err != nil {
		return err
	}
	m.buyLoose()
	m.purchase(Purchase{ID: "rivets", Name: message.T("kit.buy.rivets", "diameter", quantity.MM(rivet*mm)), Count: int(math.Ceil(float64(m.rivets) * rivetSpare)), Because: message.T("kit.because.rivets", "n", m.rivets)})
	m.purchase(Purchase{ID: "screws", Name: message.T("kit.buy.screws"), Count: m.screws + 1, Because: message.T("kit.because.screws")})
	return nil
}

func (m *maker) purchase(p Purchase) { m.k.Purchases = append(m.k.Purchases, p) }

func (m *maker) buySheet() {
	if c := m.s.Container; c != nil {
		m.purchase(Purchase{ID: "container", Name: message.T("kit.part.container", "kind", message.T("stove.word."+c.Kind)), Count: 1, AtHand: true,
			Size: message.T("kit.buy.round-size", "diameter", quantity.MM(c.Diameter), "height", quantity.MM(c.Height)), Because: message.T("kit.because.container")})
	}
	for i := range m.k.Cutting {
		c := &m.k.Cutting[i]
		counts := make([]int, len(c.Stocks))
		for _, s := range c.Layout.Sheets {
			counts[s.Stock]++
		}
		for j, n := range counts {
			if n == 0 {
				continue
			}
			s := c.Stocks[j]
			m.purchase(Purchase{ID: "sheet", Name: message.T("kit.buy.sheet", "sheet", c.Name()), Count: n, AtHand: c.AtHand,
				Size:    message.T("kit.buy.sheet-size", "width", quantity.MM(s.Width), "length", quantity.MM(s.Height)),
				Because: message.T("kit.because.sheet", "yield", quantity.Pct(c.Layout.Yield()))})
		}
	}
}

// metres of bar are bought to the next tenth.
func metres(length float64) quantity.Value {
	return quantity.Value{SI: math.Ceil(length*10-1e-9) / 10, Unit: quantity.Metre, Step: 0.1}
}

func (m *maker) buyBar() {
	s := m.s
	n := len(s.Rods())
	m.purchase(Purchase{ID: "rod", Name: message.T("kit.buy.rod", "diameter", quantity.MM1(s.RodDiameter)), AtHand: s.Brief.Rod.Known,
		Amount: metres(float64(n) * (s.RodLength + rodSpareLength)), Because: message.T("kit.because.rod", "n", n, "length", quantity.MM(s.RodLength))})
	if m.bar > 0 {
		m.purchase(Purchase{ID: "bar", Name: message.T("kit.buy.bar", "width", quantity.MM(barWidth*mm), "thickness", quantity.MM(barThickness*mm)),
			Amount: metres(m.bar + float64(s.Feet+1)*rodSpareLength), Because: m.becauseBar()})
	}
}

// becauseBar says what of this kit is cut from flat bar: feet, the bar over the
// mouth, or both.
func (m *maker) becauseBar() message.Text {
	feet, lintel := false, false
	for _, c := range m.k.Cuts {
		feet = feet || c.Use == Bar && c.ID == "feet"
		lintel = lintel || c.Use == Bar && c.ID == "lintel"
	}
	switch {
	case feet && lintel:
		return message.T("kit.because.bar-both")
	case lintel:
		return message.T("kit.because.bar-lintel")
	}
	return message.T("kit.because.bar-feet")
}

// trialMix is the first recipe to try for a light brick: 500 g of dry sawdust,
// 900 g of moist clay and 1200 g of water (common practice, no source).
func trialMix() brick.Mix {
	clay, _ := brick.DefaultIngredient("clay")
	dust, _ := brick.DefaultIngredient("sawdust")
	return brick.Mix{Portions: []brick.Portion{{Ingredient: clay, Mass: 0.9}, {Ingredient: dust, Mass: 0.5 / (1 - dust.Moisture)}}, Water: 1.2}
}

// buyBrick is clay for all bricks and tiles, and sawdust for the light ones; a
// stove with a liner has no light ones.
func (m *maker) buyBrick() error {
	light, dense := m.bricksToMake()
	clay := m.denseClay()
	if light == 0 {
		if dense > 0 {
			m.purchase(Purchase{ID: "clay", Name: message.T("kit.buy.clay"), Amount: kilograms(clay), Because: message.T("kit.because.clay-dense", "n", dense)})
		}
		return nil
	}
	body, err := m.lightBody(light)
	if err != nil {
		return err
	}
	because := message.T("kit.because.clay", "good", light, "starts", body.starts, "volume", quantity.L(body.volume))
	m.purchase(Purchase{ID: "clay", Name: message.T("kit.buy.clay"), Amount: kilograms(clay + body.clay), Because: because})
	m.purchase(Purchase{ID: "sawdust", Name: message.T("kit.buy.sawdust"), Amount: kilograms(body.sawdust), Because: message.T("kit.because.sawdust")})
	return nil
}

// lightBody is what the light pieces take: how many are moulded, the wet body
// in m³, and its moist clay and air-dry sawdust in kg.
type lightBody struct {
	starts                int
	volume, clay, sawdust float64
}

// lightBody plans the body of the light pieces: enough starts that the set comes
// out of one kiln load, by volume of the mould with what is spilt.
func (m *maker) lightBody(count int) (lightBody, error) {
	starts, err := brick.Starts(count, brick.UsualYield.Product(), brickConfidence)
	if err != nil {
		return lightBody{}, err
	}
	volume := m.lightVolume() * float64(starts) / float64(count) * (1 + brickSpill)
	shrink, _ := m.s.BrickShrinkage()
	forming := brick.DefaultForming()
	forming.Drying, forming.Firing = shrink[brick.Length].Drying, shrink[brick.Length].Firing
	mix := trialMix()
	if drained, err := mix.DrainedFor(m.s.BrickDensity(), forming); err == nil && drained >= 0 && drained <= brick.FormingDefaults().Drained.Max {
		forming.Drained = drained
	}
	balance, err := mix.Balance(forming)
	if err != nil {
		return lightBody{}, err
	}
	batches := volume / balance.Wet.Volume
	return lightBody{starts: starts, volume: volume, clay: batches * mix.Portions[0].Mass, sawdust: batches * mix.Portions[1].Mass}, nil
}

func kilograms(x float64) quantity.Value {
	return quantity.Value{SI: math.Ceil(x*2-1e-9) / 2, Unit: quantity.Kilogram, Step: 0.5}
}

// isBrick tells the pieces that are moulded: bricks and floor tiles.
func isBrick(p *Part) bool {
	return p.Figure == "brick" || p.Figure == "back" || p.Figure == "floor"
}

func (m *maker) bricksToMake() (light, dense int) {
	for i := range m.k.Parts {
		switch p := &m.k.Parts[i]; {
		case !isBrick(p):
		case p.Material == denseBrick:
			dense += p.Count
		default:
			light += p.Count
		}
	}
	return light, dense
}

// lightVolume is the volume in the mould of one set of light pieces, m³.
func (m *maker) lightVolume() float64 {
	shrink, _ := m.s.BrickShrinkage()
	var sum float64
	for i := range m.k.Parts {
		if p := &m.k.Parts[i]; isBrick(p) && p.Material != denseBrick {
			sum += p.Volume * float64(p.Count) / (1 - shrink.Volume())
		}
	}
	return sum
}

// denseClay is the moist clay for the dense bricks and tiles, three of each
// wanted one: a spare, and one more to break. Only what the fire takes from the
// clay is added.
func (m *maker) denseClay() float64 {
	clay, _ := brick.DefaultIngredient("clay")
	const each = 3
	var mass float64
	for i := range m.k.Parts {
		if p := &m.k.Parts[i]; isBrick(p) && p.Material == denseBrick {
			mass += p.Mass * float64(p.Count)
		}
	}
	return each * mass / (1 - clay.Loss) / (1 - clay.Moisture)
}

// buyLoose is fill with what it settles, lining and slip, in litres as they are
// carried home.
func (m *maker) buyLoose() {
	fill := m.s.FillMaterial()
	p := m.k.Part("fill")
	m.purchase(Purchase{ID: "fill", Name: p.Name, Amount: litres(p.Volume / (1 - fill.Settle) * (1 + looseSpill)),
		Because: message.T("kit.because.fill-buy", "volume", quantity.L(p.Volume), "settle", quantity.Pct(fill.Settle), "mass", quantity.KG(p.Mass))})
	lining, slip := m.k.Part("lining").Volume, m.k.Part("slip").Volume
	m.purchase(Purchase{ID: "perlite", Name: message.T("kit.buy.perlite"), Amount: litres(lining * (1 + looseSpill)), Because: message.T("kit.because.perlite")})
	m.purchase(Purchase{ID: "slip", Name: message.T("kit.buy.slip"), Amount: litres(slip + lining*slipShare), Because: message.T("kit.because.slip-buy")})
}

// litres are bought to the next half.
func litres(m3 float64) quantity.Value {
	return quantity.Value{SI: math.Ceil(m3*2000-1e-9) / 2000, Unit: quantity.Litre, Step: 0.5}
}

// tools lists what the work needs, the measuring tools first.
func (m *maker) tools() {
	ids := []string{"tape", "rule", "square", "compass", "scriber", "snips", "hammer", "stake", "file", "drill", "rivet-tool", "hacksaw", "gloves", "trowel", "board", "saw", "scale", "bucket", "sieve"}
	if m.grooved() {
		ids = append(ids, "groover")
	}
	for _, id := range ids {
		m.k.Tools = append(m.k.Tools, message.T("kit.tool."+id))
	}
	m.k.Tools = append(m.k.Tools, message.T("kit.tool.drills", "rivet", quantity.MM1(rivetHole*mm), "rod", quantity.MM1(m.rodHole()*mm), "slot", quantity.MM1(slotWidth*mm)))
}

// grooved reports whether any seam is a grooved one.
func (m *maker) grooved() bool {
	for _, p := range m.k.Patterns {
		for _, f := range p.Figures {
			for _, l := range f.Folds {
				if l.Name.ID == "kit.fold.seam-out" {
					return true
				}
			}
		}
	}
	return false
}
