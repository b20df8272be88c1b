package stove

import (
	"fmt"
	"math"

	"stovewright/fuel"
	"stovewright/heat"
	"stovewright/material"
)

// woodHeat is the lower heating value of the wood as fired, J/kg.
func woodHeat(f Fuel) float64 {
	kind, _ := fuel.Lookup(f.Kind) // the brief's word is one of fuel.Keys
	return kind.LHV(f.MoistureContent())
}

// Thermal estimates for warnings: steady conduction through brick and fill with
// the inner face at a planning temperature. The fire model computes walls in
// earnest.
const (
	hotFace     = 1000.0 // K
	skinFilm    = 10.0   // W/(m² K), natural convection and radiation of a warm body
	defaultFill = "wood-ash"
)

// estimateWalls finds the hottest fill and the side of the body after hours of
// cooking: round walls of the same areas as the polygons they stand for.
func (s *Stove) estimateWalls(air float64) {
	bore := math.Sqrt(s.ChamberArea / math.Pi)
	block := math.Sqrt(plateArea(s.Sides, s.BlockFlats()) / math.Pi)
	layers := []heat.Layer{
		{Thickness: block - bore, Solid: heat.Solid{Conductivity: inKelvin(s.BrickMaterial())}},
		{Thickness: s.BodyInner/2 - block, Solid: heat.Solid{Conductivity: inKelvin(s.FillMaterial())}},
	}
	wall, err := heat.SolveSteadyCylinder(bore, layers, math.Inf(1), hotFace, skinFilm, air)
	if err != nil {
		panic(fmt.Sprintf("stove: steady wall of tabulated materials: %v", err)) // the tables are smooth; tested over all of them
	}
	s.FillInterface, s.BodySkin = wall.Faces[1], wall.Faces[2]
}

// LiningMaterial is the key of what lines the chamber: the brick of the brief, or
// the fired clay of a liner.
func (s *Stove) LiningMaterial() string {
	if s.Liner {
		return "clay-pot"
	}
	return s.Brief.Brick.Material
}

// inKelvin is the conductivity table of a material as package heat wants it.
func inKelvin(m material.Material) heat.Conductivity {
	list := make(heat.Conductivity, len(m.ConductivityAt))
	for i, p := range m.ConductivityAt {
		list[i] = [2]float64{p[0] + 273.15, p[1]}
	}
	return list
}
