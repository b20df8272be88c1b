package main

import (
	"fmt"
	"math"
	"strings"
)

// NASA polynomials a1 to a6 of nitrogen and oxygen (key grimech30).
var (
	nitrogenLow  = [6]float64{3.298677, 1.4082404e-03, -3.963222e-06, 5.641515e-09, -2.444854e-12, -1020.8999}
	nitrogenHigh = [6]float64{2.92664, 1.4879768e-03, -5.68476e-07, 1.0097038e-10, -6.753351e-15, -922.7977}
	oxygenLow    = [6]float64{3.78245636, -2.99673416e-03, 9.84730201e-06, -9.68129509e-09, 3.24372837e-12, -1063.94356}
	oxygenHigh   = [6]float64{3.28253784, 1.48308754e-03, -7.57966669e-07, 2.09470555e-10, -2.16717794e-14, -1088.45772}
)

func thermo() string {
	mix := func(n, o [6]float64) string {
		var b strings.Builder
		for k := range n {
			fmt.Fprintf(&b, "%.9g ", 0.79*n[k]+0.21*o[k])
		}
		return b.String() + "0"
	}
	return "thermoType{type heRhoThermo;mixture pureMixture;transport sutherland;thermo janaf;equationOfState perfectGas;specie specie;energy sensibleEnthalpy;}\n" +
		"mixture{specie{molWeight 28.85;}thermodynamics{Tlow 200;Thigh 3500;Tcommon 1000;highCpCoeffs (" + mix(nitrogenHigh, oxygenHigh) + ");lowCpCoeffs (" + mix(nitrogenLow, oxygenLow) +
		");}transport{As 1.4584e-06;Ts 110.4;}}\n"
}

// fields writes the start and edge values of velocity, temperature and pressure.
func (c Case) fields() map[string]string {
	field := func(name, class, dimensions, inside string, patches map[string]string) string {
		var b strings.Builder
		fmt.Fprintf(&b, "FoamFile{version 2.0;format ascii;class %s;object %s;}\ndimensions %s;internalField uniform %s;boundaryField{\n", class, name, dimensions, inside)
		for _, p := range append([]string{"inlet", "outlet"}, walls...) {
			fmt.Fprintf(&b, "%s{%s}\n", p, patches[p])
		}
		b.WriteString("front{type wedge;}back{type wedge;}}\n")
		return b.String()
	}
	each := func(text string) map[string]string {
		m := make(map[string]string)
		for _, w := range walls {
			m[w] = text
		}
		return m
	}
	u := each("type noSlip;")
	u["inlet"] = fmt.Sprintf("type flowRateInletVelocity;massFlowRate constant %.8g;rho rho;rhoInlet 0.3;value uniform (0 0 1);", c.Flow*wedge/(2*math.Pi))
	u["outlet"] = "type pressureInletOutletVelocity;value uniform (0 0 1);"
	t := each("type zeroGradient;")
	for _, w := range walls[:3] {
		t[w] = fmt.Sprintf("type fixedValue;value uniform %g;", c.Cold)
	}
	t["inlet"] = fmt.Sprintf("type fixedValue;value uniform %g;", c.Hot)
	t["outlet"] = "type inletOutlet;inletValue uniform 400;value uniform 600;"
	rgh := each("type fixedFluxPressure;value uniform 101325;")
	rgh["inlet"] = rgh["plate"]
	rgh["outlet"] = "type fixedValue;value uniform 101325;"
	p := each("type calculated;value uniform 101325;")
	p["inlet"], p["outlet"] = p["plate"], p["plate"]
	const pressure = "[1 -1 -2 0 0 0 0]"
	return map[string]string{
		"0/U":     field("U", "volVectorField", "[0 1 -1 0 0 0 0]", "(0 0 0.1)", u),
		"0/T":     field("T", "volScalarField", "[0 0 0 1 0 0 0]", fmt.Sprintf("%g", (c.Hot+c.Cold)/2), t),
		"0/p_rgh": field("p_rgh", "volScalarField", pressure, "101325", rgh),
		"0/p":     field("p", "volScalarField", pressure, "101325", p),
	}
}
