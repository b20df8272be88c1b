package fire

import (
	"errors"

	"stovewright/message"
	"stovewright/quantity"
)

// nudge is the change of a gap whose effect is told, m: what a careful maker can
// still get wrong.
const nudge = 0.002

// Says tells a solved point in sentences: what limits the stove, where its heat
// goes, and what 2 mm more or less at each gap would do.
func (m *Model) Says(c Coefficients, p Point) ([]message.Text, error) {
	var list []message.Text
	place, total := AtFuelOpening, 0.0
	for l, loss := range p.Losses {
		total += loss
		if loss > p.Losses[place] {
			place = Loss(l)
		}
	}
	list = append(list, message.T("fire.says.choke", "power", quantity.KW(p.Power), "place", message.T("fire.place."+place.String()), "share", quantity.Pct(p.Losses[place]/total)))
	most, err := m.MostPower(c, AirCaution, p.PotT)
	if err != nil {
		return nil, err
	}
	list = append(list, message.T("fire.says.most-power", "ratio", quantity.Value{SI: AirCaution, Unit: quantity.One, Step: 0.1}, "power", quantity.KW(most)))
	loss, watts := "exhaust", p.Heat.Exhaust
	for name, w := range map[string]float64{"wall": p.Heat.Wall, "skirt": p.Heat.Skirt, "unburnt": p.Heat.Unburnt} {
		if w > watts {
			loss, watts = name, w
		}
	}
	list = append(list, message.T("fire.says.most-loss", "loss", message.T("fire.says.loss."+loss), "share", quantity.Pct(watts/p.Power)))
	for _, gap := range []string{"bottom", "side"} {
		if gap == "side" && len(m.stove.Side) == 0 {
			continue
		}
		for _, way := range []string{"wider", "narrower"} {
			text, err := m.nudged(c, p, gap, way)
			if err != nil {
				return nil, err
			}
			list = append(list, text)
		}
	}
	return list, nil
}

// nudged says what a gap 2 mm wider or narrower does at the same firepower.
func (m *Model) nudged(c Coefficients, p Point, gap, way string) (message.Text, error) {
	by := nudge
	if way == "narrower" {
		by = -nudge
	}
	name, step := message.T("fire.says.gap."+gap), quantity.MM(nudge)
	chokes := message.T("fire.says.narrower-chokes", "gap", name, "step", step)
	other, err := New(m.stove.WithGap(gap, by), m.air, m.fuel, m.moisture)
	if _, closed := message.Complaints(err); closed {
		return chokes, nil // narrower than any gap the model takes
	}
	if err != nil {
		return message.Text{}, err
	}
	q, err := other.WithEquations(m.equations).Solve(c, p.Power, p.PotT)
	var choked *ChokedError
	if errors.As(err, &choked) {
		return chokes, nil
	}
	if err != nil {
		return message.Text{}, err
	}
	points := quantity.Value{SI: 100 * (q.Efficiency() - p.Efficiency()), Unit: quantity.One, Step: 0.1}
	return message.T("fire.says."+way, "gap", name, "step", step, "efficiency", points,
		"air", quantity.Value{SI: q.AirRatio - p.AirRatio, Unit: quantity.One, Step: 0.01}), nil
}

// WithGap is the stove with the gap under the pot ("bottom") or around it
// ("side") wider by so many metres everywhere.
func (s Stove) WithGap(gap string, by float64) Stove {
	if gap == "bottom" {
		s.Bottom = append([]Station(nil), s.Bottom...)
		for i := range s.Bottom {
			s.Bottom[i].Gap += by
		}
		return s
	}
	s.Side = append([]Annulus(nil), s.Side...)
	for i := range s.Side {
		s.Side[i].GapBottom += by
		s.Side[i].GapTop += by
	}
	return s
}
