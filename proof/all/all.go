// Package all gathers the proof register of the whole program.
package all

import (
	"stovewright/bench"
	"stovewright/brick"
	"stovewright/brick/mixture"
	"stovewright/drawing"
	"stovewright/drawing/mesh"
	"stovewright/explore"
	"stovewright/fire"
	"stovewright/fuel"
	"stovewright/gas"
	"stovewright/heat"
	"stovewright/internal/num"
	"stovewright/kit"
	"stovewright/kit/flat"
	"stovewright/kit/nest"
	"stovewright/material"
	"stovewright/proof"
	"stovewright/stats"
	"stovewright/stove"
)

// Checks are the entries of every package, floor by floor.
func Checks() []proof.Check {
	var list []proof.Check
	for _, part := range []func() []proof.Check{
		num.Checks, gas.Checks, fuel.Checks, material.Checks, stats.Checks,
		drawing.Checks, mesh.Checks, heat.Checks, stove.Checks, mixture.Checks, brick.Checks,
		fire.Checks, bench.Checks, kit.Checks, flat.Checks, nest.Checks,
		explore.Checks,
	} {
		list = append(list, part()...)
	}
	return list
}
