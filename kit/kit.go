package kit

import (
	"strconv"

	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
)

const mm = 1e-3 // m

// toMM turns metres into the millimetres of patterns.
func toMM(metres float64) float64 { return metres * 1000 }

func itoa(n int) string { return strconv.Itoa(n) }

// Kit is everything to buy, mould and cut for one stove.
type Kit struct {
	Stove     *stove.Stove
	Parts     []Part
	Patterns  []Pattern
	Moulds    []Mould
	Cutting   []Cutting  // sheet by sheet, how the blanks are laid out
	Cuts      []Cut      // the cut list
	Purchases []Purchase // in the units they are sold in
	Tools     []message.Text
	Remarks   []message.Text // what the maker should know about this kit
}

// Part is one kind of piece of the finished stove.
type Part struct {
	ID       string // stable: "brick.ring", "skirt"
	Figure   string // its number on the drawings is that of figure.part.<Figure>; may be empty
	Name     message.Text
	Count    int
	Material string // key of package material
	Sizes    []Measure
	Mass     float64 // kg, of one
	Volume   float64 // m³, of a fill, lining or brick; 0 for sheet
	Because  message.Text
	Patterns []string // ids of the patterns that show it
}

// Measure is a finished dimension of a part.
type Measure struct {
	Name  message.Text
	Value quantity.Value
}

func measure(id string, v quantity.Value) Measure { return Measure{message.T("kit.size." + id), v} }

// Mass is the mass of the empty stove by its parts, kg.
func (k *Kit) Mass() float64 {
	var sum float64
	for _, p := range k.Parts {
		sum += p.Mass * float64(p.Count)
	}
	return sum
}

// Part finds a part by id; nil when there is none.
func (k *Kit) Part(id string) *Part {
	for i := range k.Parts {
		if k.Parts[i].ID == id {
			return &k.Parts[i]
		}
	}
	return nil
}

// Pattern finds a pattern by id; nil when there is none.
func (k *Kit) Pattern(id string) *Pattern {
	for i := range k.Patterns {
		if k.Patterns[i].ID == id {
			return &k.Patterns[i]
		}
	}
	return nil
}

// maker builds a kit, part by part.
type maker struct {
	s          *stove.Stove
	k          *Kit
	rivets     int // counted as the parts are made
	screws     int
	bar        float64 // m of flat bar
	complaints message.InputErrors
}

// Make takes a stove apart. The error is a [message.InputErrors] where a
// dimension, most often an override, leaves no way to make a part; it names the
// dimension to change.
func Make(s *stove.Stove) (*Kit, error) {
	m, err := takeApart(s)
	if err != nil {
		return nil, err
	}
	m.gauges()
	if err := m.moulds(); err != nil {
		return nil, err
	}
	if err := m.cutting(); err != nil {
		return nil, err
	}
	if err := m.buy(); err != nil {
		return nil, err
	}
	m.tools()
	return m.k, nil
}

// takeApart makes the parts of a stove with their patterns.
func takeApart(s *stove.Stove) (*maker, error) {
	m := &maker{s: s, k: &Kit{Stove: s}}
	m.feasible()
	if err := m.complaints.OrNil(); err != nil {
		return nil, err
	}
	m.bricks()
	m.floor()
	m.lintel()
	m.body()
	m.base()
	m.feet()
	m.top()
	m.sleeve()
	m.shelf()
	m.skirt()
	m.rods()
	m.loose()
	if err := m.complaints.OrNil(); err != nil {
		return nil, err
	}
	return m, nil
}

// refuse complains about a dimension of the stove.
func (m *maker) refuse(id string, reason message.Text) {
	m.complaints = append(m.complaints, &message.InputError{Field: "yours." + id, Value: m.s.Value(id).String(), Reason: reason})
}

func (m *maker) part(p Part) { m.k.Parts = append(m.k.Parts, p) }

func (m *maker) pattern(p Pattern) *Pattern {
	m.k.Patterns = append(m.k.Patterns, p)
	return &m.k.Patterns[len(m.k.Patterns)-1]
}

func (m *maker) remark(id string, args ...any) {
	m.k.Remarks = append(m.k.Remarks, message.T("kit.remark."+id, args...))
}

// sheetPart adds a pattern cut from sheet and the part that is made of it. The
// part's mass is the area left after cutting times the mass of the sheet.
func (m *maker) sheetPart(p Part, plate plate, patterns ...Pattern) {
	p.Material = plate.material
	var mass float64
	for _, q := range patterns {
		q.Use, q.Material, q.Thickness = Steel, plate.material, plate.thickness
		m.pattern(q)
		p.Patterns = append(p.Patterns, q.ID)
		mass += float64(q.Count) * q.Area() * plate.thickness * plate.density()
	}
	p.Mass = mass / float64(p.Count)
	m.part(p)
}
