package stove

import (
	"fmt"
	"strings"

	"stovewright/brick"
	"stovewright/material"
	"stovewright/message"
	"stovewright/quantity"
)

// A brief may call its brick by the name of a body that the maker fired. The
// numbers of the body are written into the form, so that a brief says all it
// needs by itself wherever it goes; what is written already stays.

// propertyKelvin is the temperature at which one number stands for the
// conductivity of a brick, 500 °C: about the middle of a chamber wall at work.
const propertyKelvin = 773.15

// TakeBody writes what is known of the body that the brief calls by name into
// the fields of its brick that are empty. A brief that names none is left as it
// is. The error is a [message.InputErrors] when no body has that name.
func (f *Form) TakeBody(bodies []brick.Body) error {
	name := strings.TrimSpace(f.AtHand.Brick.Body)
	if name == "" {
		return nil
	}
	body, err := brick.FindBody(bodies, name)
	if complaints, ok := message.Complaints(err); ok {
		for _, c := range complaints {
			c.Field = "at_hand.brick.body"
		}
		return complaints
	}
	known := BrickFormOf(body)
	k := &f.AtHand.Brick
	for _, entry := range []struct {
		into *string
		text string
	}{{&k.KnownBy, known.KnownBy}, {&k.Density, known.Density}, {&k.Conductivity, known.Conductivity}, {&k.ConductivityLow, known.ConductivityLow},
		{&k.ConductivityHigh, known.ConductivityHigh}, {&k.Limit, known.Limit}, {&k.DryShrinkage, known.DryShrinkage}, {&k.Firing, known.Firing}} {
		if *entry.into == "" {
			*entry.into = entry.text
		}
	}
	return nil
}

// BrickFormOf is what a brief says of a body.
func BrickFormOf(b brick.Body) BrickForm {
	plain := func(si float64, u quantity.Unit, decimals int) string {
		return fmt.Sprintf("%.*f %s", decimals, (si-u.SI(0))/u.Factor, u.Symbol)
	}
	conductivity := b.Conductivity(propertyKelvin)
	f := BrickForm{Body: b.Name, KnownBy: "measured", Density: plain(b.Density.Value, quantity.GramPerCM3, 3),
		Conductivity:    plain(conductivity.Best, quantity.WPerMK, 3),
		ConductivityLow: plain(conductivity.Low, quantity.WPerMK, 3), ConductivityHigh: plain(conductivity.High, quantity.WPerMK, 3),
		Limit: plain(b.UseLimit(), quantity.Celsius, 0)}
	if b.Predicted {
		f.KnownBy = "predicted"
	}
	edges := func(of func(brick.AxisShrinkage) float64) string {
		var list []string
		for _, a := range b.Shrinkage {
			list = append(list, fmt.Sprintf("%.2f", 100*of(a)))
		}
		return strings.Join(list, " x ") + " %"
	}
	f.DryShrinkage = edges(func(a brick.AxisShrinkage) float64 { return float64(a.Drying) })
	f.Firing = edges(func(a brick.AxisShrinkage) float64 { return float64(a.Firing) })
	return f
}

// shrinkage reads one value for all edges, or one for each: "6.4 x 6.2 x 6.9 %".
func (r *reader) shrinkage(path, text string) ByEdge {
	if strings.ContainsAny(text, "x×*X") {
		all, known := r.Edges(path, text)
		return ByEdge{all, known}
	}
	v, known := r.Number(path, text)
	return ByEdge{[3]float64{v, v, v}, known}
}

// body reads which brick it is. A name alone says nothing: the numbers of the
// body must stand beside it.
func (r *reader) body(f BrickForm) (name string, measured bool) {
	name = r.Text("at_hand.brick.body", f.Body)
	measured = r.Word("at_hand.brick.known_by", f.KnownBy, "measured") == "measured"
	if name != "" && strings.TrimSpace(f.Density) == "" {
		r.Complain("at_hand.brick.density", "", message.T("stove.body-unknown", "body", name))
	}
	return name, measured
}

// BrickDensity is the density of the lining brick in kg/m³.
func (s *Stove) BrickDensity() float64 {
	m, _ := material.Lookup(s.Brief.Brick.Material)
	return s.Brief.Brick.Density.Or(m.Density)
}

// BrickMaterial is what lines the chamber with the properties to reckon with:
// the brick of the brief with what is known of it, or the fired clay of a liner.
func (s *Stove) BrickMaterial() material.Material {
	m, _ := material.Lookup(s.LiningMaterial()) // the brief's word is one of material.Keys
	if s.Liner {
		return m
	}
	k := s.Brief.Brick
	if k.Body != "" {
		m.Heat = brick.ClayMeanSpecificHeat(293.15, 873.15)
		m.Standing, m.Source, m.Note = "yours", "", k.Body
	}
	m.Density = s.BrickDensity()
	if k.Conductivity.Known {
		m.ConductivityAt = conductivityThrough(k.Conductivity.SI, m)
	}
	m.LimitC = k.Limit.Or(m.LimitC+273.15) - 273.15
	return m
}

// conductivityThrough is the course of the conductivity of a brick that conducts
// so much at 500 °C: by the pores of fired clay of its density, with radiation
// across them; where no such clay fits, in proportion to the table's course.
func conductivityThrough(value float64, m material.Material) [][2]float64 {
	porosity := 1 - m.Density/brick.TrueDensityFired
	skeleton, fits := brick.DefaultSkeleton.Calibrated(value, propertyKelvin, porosity)
	scale := value / m.Conductivity(propertyKelvin)
	var course [][2]float64
	for _, c := range []float64{20, 200, 400, 500, 600, 800, 1000} {
		k := scale * m.Conductivity(c+273.15)
		if fits {
			k = skeleton.Conductivity(c+273.15, porosity).Best
		}
		course = append(course, [2]float64{c, k})
	}
	return course
}

// BrickShrinkage is the shrinkage of the brick by its edges: that of the brief,
// or the usual one with its range as the uncertainty. measured says whether it
// is the maker's own.
func (s *Stove) BrickShrinkage() (by brick.Shrinkage, measured bool) {
	k, usual := s.Brief.Brick, brick.FormingDefaults()
	spread := func(p brick.Param) float64 { return (p.High - p.Low) / 4 } // the usual range as ± two standard deviations
	for _, a := range brick.Axes {
		by[a] = brick.AxisShrinkage{Drying: brick.Drying(usual.Drying.Default), Firing: brick.Firing(usual.Firing.Default),
			UDrying: spread(usual.Drying), UFiring: spread(usual.Firing)}
		if k.DryShrinkage.Known {
			by[a].Drying, by[a].UDrying = brick.Drying(k.DryShrinkage.SI[a]), 0
		}
		if k.Firing.Known {
			by[a].Firing, by[a].UFiring = brick.Firing(k.Firing.SI[a]), 0
		}
	}
	return by, k.DryShrinkage.Known && k.Firing.Known && (k.Body == "" || k.Measured)
}

// brickProperties are the dimensions that say what the brick is, each with
// where it comes from.
func (z *sizer) brickProperties() {
	s, k := z.s, z.b.Brick
	origin := func(given bool) Origin {
		switch {
		case !given:
			return Default
		case k.Body != "" && k.Measured:
			return Measured
		case k.Body != "":
			return Default // a prediction until a brick is weighed
		}
		return Yours
	}
	why := func(given bool, about string, values ...any) message.Text {
		switch {
		case !given:
			return message.T(about+"table", "material", message.T("material."+k.Material))
		case k.Body != "" && k.Measured:
			return message.T(about+"body", append(values, "body", k.Body)...)
		case k.Body != "":
			return message.T(about+"predicted", append(values, "body", k.Body)...)
		}
		return message.T("stove.why.brick-at-hand")
	}
	z.follow("brick.density", origin(k.Density.Known), quantity.Value{SI: s.BrickDensity(), Unit: quantity.GramPerCM3, Step: 0.01}, why(k.Density.Known, "stove.why.density-"))
	conduct := quantity.Value{SI: s.BrickMaterial().Conductivity(propertyKelvin), Unit: quantity.WPerMK, Step: 0.01}
	low, high := conduct, conduct
	low.SI, high.SI = k.ConductivityLow.Or(conduct.SI), k.ConductivityHigh.Or(conduct.SI)
	conductOrigin := origin(k.Conductivity.Known)
	if conductOrigin == Measured {
		conductOrigin = Rule // the density was measured, and the conductivity follows from it
	}
	z.follow("brick.conductivity", conductOrigin, conduct, why(k.Conductivity.Known, "stove.why.conductivity-", "low", low, "high", high))
	by, _ := s.BrickShrinkage()
	given := k.DryShrinkage.Known && k.Firing.Known
	edges := make([]any, 0, 6)
	for _, a := range brick.Axes {
		edges = append(edges, a.String(), quantity.Value{SI: float64(by[a].Total()), Unit: quantity.Percent, Step: 0.1})
	}
	z.follow("brick.shrinkage", origin(given), quantity.Value{SI: float64(by[brick.Length].Total()), Unit: quantity.Percent, Step: 0.1}, why(given, "stove.why.shrinkage-", edges...))
}
