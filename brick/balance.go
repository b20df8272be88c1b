package brick

import (
	"math"

	"stovewright/gas"
	"stovewright/message"
)

// KaoliniteLoss is the water in kaolinite, Al2Si2O5(OH)4: 2 × 18.015 of
// 258.16 g/mol.
const KaoliniteLoss = 2 * 18.01528 / 258.1604

// Ingredient is one material of a body with the values the balance needs.
type Ingredient struct {
	Name     string
	Kind     string  // key of the ingredient table
	Moisture float64 // water per moist mass, 0 to below 1
	Loss     float64 // share of the dry mass lost in the fire, 0 to 1
	Grain    float64 // kg/m³, grain with its fine pores full of water
	Fired    float64 // kg/m³, of what remains, without pores
}

// DefaultIngredient is an ingredient with the table's defaults.
func DefaultIngredient(kind string) (Ingredient, bool) {
	r, ok := LookupIngredient(kind)
	return Ingredient{Name: kind, Kind: kind, Moisture: r.Moisture.Default, Loss: r.Loss.Default,
		Grain: r.Grain, Fired: r.Fired}, ok
}

// Portion is an ingredient as weighed in.
type Portion struct {
	Ingredient Ingredient
	Mass       float64 // kg, moist
	Weighed    bool    // its moisture was measured for this batch, not assumed
}

// Dry is the dry mass, kg.
func (p Portion) Dry() float64 { return p.Mass * (1 - p.Ingredient.Moisture) }

// Mix is a batch as weighed into the mixing trough.
type Mix struct {
	Portions []Portion
	Water    float64 // kg, added
}

// Forming is what moulding, drying and firing do to a mix.
type Forming struct {
	Air     float64 // entrained air, share of the wet volume
	Drained float64 // share of all water that leaves before the shape sets
	Drying  Drying
	Firing  Firing
}

// DefaultForming holds the defaults of data/forming.yaml.
func DefaultForming() Forming {
	d := FormingDefaults()
	return Forming{Air: d.Air.Default, Drained: d.Drained.Default,
		Drying: Drying(d.Drying.Default), Firing: Firing(d.Firing.Default)}
}

// VolumeRatio is fired volume over wet volume, (1−sd)³(1−sf)³.
func (f Forming) VolumeRatio() float64 {
	return math.Pow((1-float64(f.Drying))*(1-float64(f.Firing)), 3)
}

// State is the batch at one stage.
type State struct {
	Mass   float64 // kg
	Volume float64 // m³
}

// Density is the bulk density, kg/m³.
func (s State) Density() float64 { return s.Mass / s.Volume }

// Balance is what a mix becomes.
type Balance struct {
	Wet, Dry, Fired State
	TotalWater      float64 // kg, added and carried in by the ingredients
	Water           float64 // kg, held in the moulded body
	TrueDensity     float64 // kg/m³, of the fired solid without pores
	Porosity        float64 // total, of the fired body
}

// MoistureDry is the moulding moisture on the dry basis, water per dry solids.
func (b Balance) MoistureDry() float64 { return b.Water / b.Dry.Mass }

// MoistureWet is the moulding moisture on the wet basis, water per wet mass.
func (b Balance) MoistureWet() float64 { return b.Water / b.Wet.Mass }

// solids are the sums over the portions that every balance needs.
type solids struct {
	dry, volume, water float64 // kg, m³ of grains, kg of water carried in
	left, leftVolume   float64 // kg and m³ of what remains after the fire
}

func (m Mix) solids() solids {
	var s solids
	for _, p := range m.Portions {
		dry := p.Dry()
		left := dry * (1 - p.Ingredient.Loss)
		s.dry += dry
		s.volume += dry / p.Ingredient.Grain
		s.water += p.Mass - dry
		s.left += left
		s.leftVolume += left / p.Ingredient.Fired
	}
	return s
}

// Balance follows a mix from the trough to the kiln:
//
//	H = Σ water                           all water
//	Hr = (1−x) H                          held in the moulded body
//	Vwet = (Σ dry/grain + Hr/ρw)/(1−e)
//	Vdry = Vwet (1−sd)³, mdry = Σ dry
//	Vfired = Vdry (1−sf)³, mfired = Σ dry (1−loss)
//	P = 1 − ρfired/ρtrue
//
// Soaked sawdust is full of water, so its grains count at cell-wall density.
// Water is the strongest pore former: what it fills becomes pore, but for what
// drying shrinkage takes back.
func (m Mix) Balance(f Forming) (Balance, error) {
	if err := m.check(f); err != nil {
		return Balance{}, err
	}
	return m.solids().balance(m.Water, f), nil
}

func (s solids) balance(added float64, f Forming) Balance {
	b := Balance{TotalWater: added + s.water}
	b.Water = (1 - f.Drained) * b.TotalWater
	b.Wet = State{s.dry + b.Water, (s.volume + b.Water/gas.PlainWater) / (1 - f.Air)}
	b.Dry = State{s.dry, b.Wet.Volume * math.Pow(1-float64(f.Drying), 3)}
	b.Fired = State{s.left, b.Wet.Volume * f.VolumeRatio()}
	b.TrueDensity = s.left / s.leftVolume
	b.Porosity = 1 - b.Fired.Density()/b.TrueDensity
	return b
}

func (m Mix) check(f Forming) error {
	var bad message.InputErrors
	say := func(field string, v float64, id, try string) {
		bad = append(bad, &message.InputError{Field: field, Value: number(v), Reason: message.T(id), Try: try})
	}
	solid := false
	for _, p := range m.Portions {
		i := p.Ingredient
		if !(p.Mass >= 0 && p.Mass < 1e6) {
			say(i.Name+".mass", p.Mass, "brick.mass.range", "0.9")
		}
		if !(i.Moisture >= 0 && i.Moisture < 0.95) {
			say(i.Name+".moisture", i.Moisture, "brick.moisture.range", "0.25")
		}
		if !(i.Loss >= 0 && i.Loss <= 1) {
			say(i.Name+".loss", i.Loss, "brick.loss.range", "0.10")
		}
		if !(i.Grain >= 50 && i.Grain <= 8000) {
			say(i.Name+".grain", i.Grain, "brick.grain.range", "2650")
		}
		if !(i.Fired >= 50 && i.Fired <= 8000) {
			say(i.Name+".fired", i.Fired, "brick.grain.range", "2600")
		}
		solid = solid || p.Dry()*(1-i.Loss) > 0
	}
	if !solid {
		bad = append(bad, &message.InputError{Field: "mix", Reason: message.T("brick.mix.empty"), Try: "clay: 0.9"})
	}
	if !(m.Water >= 0 && m.Water < 1e6) {
		say("water", m.Water, "brick.mass.range", "1.2")
	}
	if !(f.Air >= 0 && f.Air < 0.9) {
		say("air", f.Air, "brick.share.range", "0.05")
	}
	if !(f.Drained >= 0 && f.Drained < 1) {
		say("drained", f.Drained, "brick.share.range", "0.2")
	}
	if !believable(float64(f.Drying)) {
		say("drying", float64(f.Drying), "brick.shrinkage.range", "0.05")
	}
	if !believable(float64(f.Firing)) {
		say("firing", float64(f.Firing), "brick.shrinkage.range", "0.02")
	}
	return bad.OrNil()
}

// OneBrick is the share of a batch that fills one mould.
type OneBrick struct {
	Wet, Dry, Fired float64 // kg
	PerBatch        float64 // bricks that the batch fills
}

// Brick is one brick of a batch moulded in a cavity of the given volume, m³.
func (b Balance) Brick(cavity float64) OneBrick {
	n := b.Wet.Volume / cavity
	return OneBrick{Wet: b.Wet.Mass / n, Dry: b.Dry.Mass / n, Fired: b.Fired.Mass / n, PerBatch: n}
}
