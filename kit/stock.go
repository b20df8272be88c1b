package kit

import (
	"math"

	"stovewright/kit/nest"
	"stovewright/material"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
)

// plate is the sheet a part is cut from: what it is made of, and the sheets of
// it that are at hand.
type plate struct {
	material  string
	thickness float64 // m
	atHand    []stove.Sheet
}

func (p plate) density() float64 {
	m, _ := material.Lookup(p.material)
	return m.Density
}

// sheetSteel is the material of sheet by its coating in the brief.
var sheetSteel = map[string]string{"bare": "mild-steel", "painted": "mild-steel", "galvanised": "galvanised-steel", "stainless": "stainless-304"}

// sameThickness is how far a sheet may be off the thickness wanted and still
// count as that sheet (rolling tolerance and rounding of gauges; common
// practice).
const sameThickness = 0.06 * mm

// plateFor picks the sheet for a part of a thickness: the first of the coatings
// that is at hand, else the first coating, to be bought.
func (m *maker) plateFor(thickness float64, coatings ...string) plate {
	for _, coating := range coatings {
		var fit []stove.Sheet
		for _, s := range m.s.Brief.Sheets {
			if s.Coating == coating && math.Abs(s.Thickness-thickness) <= sameThickness {
				fit = append(fit, s)
			}
		}
		if len(fit) > 0 {
			return plate{sheetSteel[coating], thickness, fit}
		}
	}
	return plate{material: sheetSteel[coatings[0]], thickness: thickness}
}

// hotPlate is sheet that flame or embers reach; zinc has no place there.
func (m *maker) hotPlate(thickness float64) plate { return m.plateFor(thickness, "bare", "stainless") }

// bodyPlate is sheet for the body, which stays cool enough for zinc where
// nothing better is at hand.
func (m *maker) bodyPlate() plate {
	return m.plateFor(m.s.BodyThickness, "bare", "stainless", "galvanised")
}

// Cutting of sheet (common practice).
const (
	edgeTrim = 0        // the mill edge is used as it is
	snipGap  = 2.0 * mm // between blanks, for snips or a shear by eye
	nestWork = 250_000  // steps of search for each kind of sheet
)

// stocks are the sheets of a plate that may be used: those at hand, or, to be
// bought, the usual sizes.
func (p plate) stocks() []nest.Stock {
	var list []nest.Stock
	for _, s := range p.atHand {
		count := s.Count
		if count == 0 {
			count = nest.Unlimited
		}
		list = append(list, nest.Stock{Name: sheetName(s.Width, s.Length), Width: s.Width, Height: s.Length, Trim: edgeTrim, Count: count})
	}
	if len(list) == 0 {
		return shopStocks()
	}
	return list
}

func shopStocks() []nest.Stock {
	var list []nest.Stock
	for _, s := range material.StockSheets() {
		list = append(list, nest.Stock{Name: sheetName(s[0], s[1]), Width: s[0], Height: s[1], Trim: edgeTrim, Count: nest.Unlimited})
	}
	return list
}

func sheetName(width, length float64) string {
	return quantity.MM(width).Number() + " × " + quantity.MM(length).Number()
}

// fits reports whether a blank, in mm, can be cut from a plate at all.
func (p plate) fits(width, height float64) bool {
	w, h := min(width, height)*mm, max(width, height)*mm
	for _, s := range p.stocks() {
		if w <= min(s.Width, s.Height) && h <= max(s.Width, s.Height) {
			return true
		}
	}
	return false
}

// Cutting is the layout of all blanks of one kind of sheet.
type Cutting struct {
	Material  string
	Thickness float64 // m
	AtHand    bool    // the sheets are in stock; otherwise they are to be bought
	Stocks    []nest.Stock
	Parts     []nest.Part // Name is the id of the pattern
	Layout    *nest.Layout
}

// Name says which sheet is cut.
func (c *Cutting) Name() message.Text {
	return message.T("kit.sheet", "material", message.T("material."+c.Material), "thickness", thickness(c.Thickness))
}

// thickness is a sheet's thickness as it is spoken of: to 0.05 mm.
func thickness(metres float64) quantity.Value {
	return quantity.Value{SI: metres, Unit: quantity.Millimetre, Step: 0.05}
}

// cutting lays the blanks out: on the sheets at hand first, and what finds no
// place there on sheets to be bought.
func (m *maker) cutting() error {
	for _, group := range m.byPlate() {
		parts := group.parts
		if len(group.plate.atHand) > 0 {
			fitting, rest := split(parts, group.plate.stocks())
			if len(fitting) > 0 {
				layout, err := m.cut(group.plate, true, group.plate.stocks(), fitting)
				if err != nil {
					return err
				}
				rest = append(rest, missing(fitting, layout)...)
			}
			parts = rest
		}
		if len(m.s.Brief.Sheets) > 0 && len(group.plate.atHand) == 0 {
			m.remark("no-sheet", "sheet", (&Cutting{Material: group.plate.material, Thickness: group.plate.thickness}).Name())
		}
		fitting, huge := split(parts, shopStocks())
		for _, p := range huge {
			m.remark("too-big", "part", m.k.Pattern(p.Name).Name, "width", quantity.MM(p.Width), "length", quantity.MM(p.Height))
		}
		if len(fitting) == 0 {
			continue
		}
		if len(group.plate.atHand) > 0 {
			m.remark("stock-short", "sheet", (&Cutting{Material: group.plate.material, Thickness: group.plate.thickness}).Name())
		}
		if _, err := m.cut(group.plate, false, shopStocks(), fitting); err != nil {
			return err
		}
	}
	return nil
}

func (m *maker) cut(p plate, atHand bool, stocks []nest.Stock, parts []nest.Part) (*nest.Layout, error) {
	layout, err := nest.Nest(stocks, parts, nest.Options{Tool: nest.Shear, Kerf: snipGap, Work: nestWork})
	if err != nil {
		return nil, err
	}
	if len(layout.Sheets) > 0 {
		m.k.Cutting = append(m.k.Cutting, Cutting{Material: p.material, Thickness: p.thickness, AtHand: atHand, Stocks: stocks, Parts: parts, Layout: layout})
	}
	return layout, nil
}

// Sheets is how many sheets of steel a stove takes.
type Sheets struct {
	AtHand int // of those at hand
	Bought int // beside them
	TooBig int // blanks that neither they nor the usual sheets take
}

// SheetsFor takes a stove apart as far as its sheet steel goes, and lays that out
// on the sheets at hand; quicker than [Make]. Where none is at hand, one sheet of
// each kind counts as bought. The error is that of Make.
func SheetsFor(s *stove.Stove) (Sheets, error) {
	m, err := takeApart(s)
	if err != nil {
		return Sheets{}, err
	}
	var n Sheets
	for _, group := range m.byPlate() {
		stocks := shopStocks()
		if len(group.plate.atHand) > 0 {
			stocks = append(stocks, group.plate.stocks()...)
		}
		fitting, huge := split(group.parts, stocks)
		n.TooBig += len(huge)
		if len(s.Brief.Sheets) == 0 && len(fitting) > 0 {
			n.Bought++
		}
	}
	if len(s.Brief.Sheets) == 0 {
		return n, nil
	}
	if err := m.cutting(); err != nil {
		return Sheets{}, err
	}
	for _, c := range m.k.Cutting {
		if c.AtHand {
			n.AtHand += len(c.Layout.Sheets)
		} else {
			n.Bought += len(c.Layout.Sheets)
		}
	}
	return n, nil
}

type plateGroup struct {
	plate plate
	parts []nest.Part
}

// byPlate collects the blanks of each kind of sheet, in the order of the
// patterns.
func (m *maker) byPlate() []plateGroup {
	var groups []plateGroup
	for i := range m.k.Patterns {
		p := &m.k.Patterns[i]
		if p.Use != Steel {
			continue
		}
		coating := "bare"
		for _, c := range []string{"galvanised", "stainless"} {
			if sheetSteel[c] == p.Material {
				coating = c
			}
		}
		at := -1
		for j, g := range groups {
			if g.plate.material == p.Material && g.plate.thickness == p.Thickness {
				at = j
			}
		}
		if at < 0 {
			groups = append(groups, plateGroup{plate: m.plateFor(p.Thickness, coating)})
			at = len(groups) - 1
		}
		groups[at].parts = append(groups[at].parts, blank(p))
	}
	return groups
}

// blank is the rectangle to cut a pattern from, with its true outline for the
// yield.
func blank(p *Pattern) nest.Part {
	b := p.Bounds()
	part := nest.Part{Name: p.ID, Width: b.W() * mm, Height: b.H() * mm, Count: p.Count}
	if outer := p.Figures[0].Outer; len(outer) == 1 { // a plain disc, which may come out of a ring
		part.Disc = true
		return part
	}
	for _, q := range p.Figures[0].Outer.Flatten(0.05) {
		part.Outline = append(part.Outline, nest.Point{X: max(0, (q.X-b.Min.X)*mm), Y: max(0, (q.Y-b.Min.Y)*mm)})
	}
	return part
}

// split parts the blanks that fit on some sheet from those that fit on none.
func split(parts []nest.Part, stocks []nest.Stock) (fitting, rest []nest.Part) {
	for _, p := range parts {
		fits := false
		for _, s := range stocks {
			fits = fits || min(p.Width, p.Height) <= min(s.Width, s.Height)-2*s.Trim && max(p.Width, p.Height) <= max(s.Width, s.Height)-2*s.Trim
		}
		if fits {
			fitting = append(fitting, p)
		} else {
			rest = append(rest, p)
		}
	}
	return fitting, rest
}

func missing(parts []nest.Part, l *nest.Layout) []nest.Part {
	var list []nest.Part
	for i, n := range l.Missing {
		if n > 0 {
			p := parts[i]
			p.Count = n
			list = append(list, p)
		}
	}
	return list
}
