package nest

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"stovewright/message"
	"stovewright/quantity"
)

// maxPieces bounds the size of one problem; a batch of a thousand stoves is
// laid out sheet by sheet, not at once.
const maxPieces = 5000

// Sizes outside these, in metres, are taken for slips of the decimal point.
const (
	leastSize = 1e-4
	mostSize  = 100
)

// purpose is what the input is checked for.
type purpose int

const (
	nesting   purpose = iota
	filling           // one sheet, whatever fits
	unrolling         // one strip without end
)

type complaints struct{ list message.InputErrors }

func (c *complaints) add(field, value string, reason, allowed message.Text, try string) {
	c.list = append(c.list, &message.InputError{Field: field, Value: value, Reason: reason, Allowed: allowed, Try: try})
}

// size complains about a length that cannot be a side.
func (c *complaints) size(field string, v float64, try string) {
	if !(v >= leastSize && v <= mostSize) {
		c.add(field, mm(v), message.T("nest.size"),
			message.T("nest.size-range", "low", quantity.MM1(leastSize), "high", quantity.MM(mostSize)), try)
	}
}

// mm writes a length as a user would.
func mm(v float64) string { return strconv.FormatFloat(math.Round(v*1e4)/10, 'f', -1, 64) + " mm" }

func check(stocks []Stock, parts []Part, o Options, why purpose) error {
	var c complaints
	if len(stocks) == 0 {
		c.add("stock", "", message.T("nest.no-stock"), message.Text{}, "1000 mm × 2000 mm")
	}
	if len(parts) == 0 {
		c.add("parts", "", message.T("nest.no-parts"), message.Text{}, "")
	}
	if !(o.Kerf >= 0 && o.Kerf <= 0.05) {
		c.add("kerf", mm(o.Kerf), message.T("nest.kerf"), message.T("nest.kerf-range", "high", quantity.MM(0.05)), "0 mm")
	}
	for i, s := range stocks {
		c.stock(fmt.Sprintf("stock[%d]", i), s, stocks, why)
	}
	total := 0
	for i, p := range parts {
		c.part(fmt.Sprintf("parts[%d]", i), p, why)
		total += max(0, min(p.Count, maxPieces+1))
	}
	if total > maxPieces {
		c.add("parts", strconv.Itoa(total), message.T("nest.too-many"), message.T("nest.too-many-most", "n", maxPieces), "")
	}
	if len(c.list) == 0 {
		c.fits(stocks, parts, why)
	}
	return c.list.OrNil()
}

func (c *complaints) stock(field string, s Stock, all []Stock, why purpose) {
	c.size(field+".width", s.Width, "1000 mm")
	if why != unrolling {
		c.size(field+".height", s.Height, "2000 mm")
	}
	if s.Count < Unlimited {
		c.add(field+".count", strconv.Itoa(s.Count), message.T("nest.stock-count"), message.Text{}, "10")
	}
	if !(s.Trim >= 0) || 2*s.Trim >= min(s.Width, s.Height) {
		c.add(field+".trim", mm(s.Trim), message.T("nest.trim"),
			message.T("nest.trim-below", "high", quantity.MM1(min(s.Width, s.Height)/2)), "0 mm")
	}
	if !(s.Cost >= 0) || math.IsInf(s.Cost, 0) || (s.Cost > 0) != (all[0].Cost > 0) {
		c.add(field+".cost", strconv.FormatFloat(s.Cost, 'g', 6, 64), message.T("nest.cost"), message.Text{}, "")
	}
}

func (c *complaints) part(field string, p Part, why purpose) {
	c.size(field+".width", p.Width, "300 mm")
	c.size(field+".height", p.Height, "300 mm")
	if p.Count < 1 && (why != filling || p.Count != Unlimited) || p.Count > maxPieces {
		c.add(field+".count", strconv.Itoa(p.Count), message.T("nest.part-count"),
			message.T("nest.part-count-range", "n", maxPieces), "1")
	}
	if !(p.Value >= 0) || math.IsInf(p.Value, 0) {
		c.add(field+".value", strconv.FormatFloat(p.Value, 'g', 6, 64), message.T("nest.value"), message.Text{}, "0")
	}
	if p.Disc && p.Width != p.Height {
		c.add(field+".height", mm(p.Height), message.T("nest.disc"), message.Text{}, mm(p.Width))
	}
	if !(p.Hole >= 0) || p.Hole > 0 && (!p.Disc || p.Hole >= p.Width) {
		c.add(field+".hole", mm(p.Hole), message.T("nest.hole"), message.T("nest.hole-below", "high", quantity.MM1(p.Width)), "0 mm")
	}
	for _, q := range p.Outline {
		const slack = 1e-6
		if !(q.X >= -slack && q.Y >= -slack && q.X <= p.Width+slack && q.Y <= p.Height+slack) {
			c.add(field+".outline", mm(q.X)+", "+mm(q.Y), message.T("nest.outline"), message.Text{}, "")
			return
		}
	}
}

// fits complains about parts that no sheet can hold. When one sheet is filled,
// only none fitting is a fault.
func (c *complaints) fits(stocks []Stock, parts []Part, why purpose) {
	var misfits []int
	for i, p := range parts {
		if !slices.ContainsFunc(stocks, func(s Stock) bool {
			return (s.Count != 0 || why == filling) && len(orientations(s, p)) > 0
		}) {
			misfits = append(misfits, i)
		}
	}
	if why == filling && len(misfits) < len(parts) {
		return
	}
	for _, i := range misfits {
		c.tooBig(i, stocks, parts[i], why)
	}
}

// tooBig names the largest sheet, or the width of the roll.
func (c *complaints) tooBig(i int, stocks []Stock, p Part, why purpose) {
	name := any(p.Name)
	if p.Name == "" {
		name = message.T("nest.part", "n", i+1)
	}
	free := p
	free.Grain = NoGrain
	id, w, h := "nest.too-big", 0.0, 0.0
	for _, s := range stocks {
		if s.Count == 0 && why != filling {
			continue
		}
		if len(orientations(s, free)) > 0 {
			id = "nest.against-grain"
		}
		if sw, sh := usable(s.Width, s), usable(s.Height, s); sw*sh > w*h {
			w, h = sw, sh
		}
	}
	allowed := message.T("nest.biggest", "width", quantity.MM1(w), "height", quantity.MM1(h))
	switch {
	case w == 0:
		c.add("stock", "0", message.T("nest.no-stock"), message.Text{}, "")
		return
	case why == unrolling:
		allowed = message.T("nest.roll-width", "width", quantity.MM1(w))
	}
	c.add(fmt.Sprintf("parts[%d]", i), mm(p.Width)+" × "+mm(p.Height), message.T(id, "part", name), allowed,
		mm(min(p.Width, w))+" × "+mm(min(p.Height, h)))
}

// usable is a side of a sheet less the trim of both edges.
func usable(side float64, s Stock) float64 { return side - 2*s.Trim }
