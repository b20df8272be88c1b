package fire

import (
	"stovewright/gas"
	"stovewright/heat"
)

// channelFlow is what the channel's laws need to know of the gas in a cell.
type channelFlow struct {
	re     float64 // Reynolds number on twice the gap, at the film temperature
	ratio  float64 // gas over pot temperature
	throat float64 // m, throat radius
}

// centreCorrection multiplies the stagnation coefficient under the pot's middle.
func centreCorrection(gapOverThroat float64) float64 { return 1 }

// ringNusselt and sideNusselt take gap and annulus as fresh channels (Mercer,
// see heat.Mercer1967).
func ringNusselt(k *cell, f channelFlow) float64 { return developing(k, f) }

func sideNusselt(k *cell, f channelFlow) float64 { return developing(k, f) }

func developing(k *cell, f channelFlow) float64 {
	scale := 2 * k.gap * f.re * gas.AirPrandtl
	return heat.MercerCell(k.from/scale, k.to/scale, gas.AirPrandtl)
}
