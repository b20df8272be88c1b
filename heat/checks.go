package heat

import (
	"fmt"
	"math"

	"stovewright/proof"
)

const noteModel = "computed with mpmath or SciPy in the engineering note, independently of this program"

// Checks are the entries of this package in the proof register.
func Checks() []proof.Check {
	var all []proof.Check
	for _, part := range [][]proof.Check{channelChecks(), radiationChecks(), convectionChecks(), burnChecks(),
		steadyChecks(), slabChecks(), cylinderChecks(), layeredChecks(), orderChecks(), sectionChecks()} {
		all = append(all, part...)
	}
	return all
}

func channelChecks() []proof.Check {
	var checks []proof.Check
	for _, c := range []struct{ x, nu float64 }{
		{0.001, 25.36}, {0.002, 18.62}, {0.005, 12.65}, {0.01, 9.694}, {0.02, 7.712}, {0.05, 6.161}, {0.1, 5.532}, {0.2, 5.191},
	} {
		checks = append(checks, proof.Check{ID: fmt.Sprintf("heat/mercer-%g", c.x), Quantity: "mean Nusselt number, developing flow, one wall insulated",
			Inputs: fmt.Sprintf("x* = %g, Pr = 0.7", c.x), Expected: c.nu, Rel: 5e-4, Standing: proof.SecondImplementation, Source: "modelnote", Note: noteModel,
			Ours: func() float64 { return Mercer1967(c.x, 0.7) }})
	}
	// The note solved the Graetz problem itself, velocity developed: a floor for
	// the correlation and its end value.
	return append(checks,
		proof.Check{ID: "heat/mercer-end", Quantity: "Nusselt number far down a slot, one wall insulated", Inputs: "cell from x* = 10 to 11", Expected: NusseltSlotOneSide, Abs: 0.01,
			Standing: proof.PublishedFromMemory, Source: "shah1978", Note: "the correlation writes 4.86; its entrance term dies out slowly", Ours: func() float64 { return MercerCell(10, 11, 0.7) }},
		proof.Check{ID: "heat/mercer-over-graetz", Quantity: "developing over thermally developing mean Nusselt number", Inputs: "x* = 0.1, numerical Graetz solution 5.411",
			Expected: 5.532 / 5.411, Abs: 0.001, Standing: proof.SecondImplementation, Source: "modelnote", Note: "must exceed 1", Ours: func() float64 { return Mercer1967(0.1, 0.7) / 5.411 }},
		proof.Check{ID: "heat/mercer-cells", Quantity: "cells of a channel add up to its mean", Inputs: "x* = 0 to 0.1 in ten cells", Expected: 1, Abs: 1e-12,
			Standing: proof.Exact, Ours: func() float64 {
				sum := 0.0
				for i := 0.0; i < 10; i++ {
					sum += MercerCell(i*0.01, (i+1)*0.01, 0.7) * 0.1
				}
				return sum / Mercer1967(0.1, 0.7)
			}},
		proof.Check{ID: "heat/channel-ntu", Quantity: "heat of a channel of one transfer unit", Inputs: "mcp 4 W/K, hA 4 W/K, 900 K to 400 K", Unit: "W",
			Expected: 4 * 500 * (1 - 1/math.E), Rel: 1e-14, Standing: proof.Exact, Ours: func() float64 { return ChannelHeat(4, 4, 900, 400) }},
		proof.Check{ID: "heat/stagnation", Quantity: "stagnation coefficient", Inputs: "k = 0.05, β = 100 1/s, ν = 1e-4 m²/s, Pr = 1", Unit: "W/(m² K)", Expected: 38.15, Abs: 1e-9,
			Standing: proof.PublishedFromMemory, Source: "sibulkin1952", Note: "constant 0.763 of the similarity solution at Pr = 1 (0.762 in some books)",
			Ours: func() float64 { return Sibulkin1952(0.05, 100, 1e-4, 1) }})
}

func radiationChecks() []proof.Check {
	var checks []proof.Check
	for _, c := range []struct{ r1, r2, h, f, mean float64 }{
		{0.06, 0.06, 0.25, 0.051788, 0.525894}, {0.06, 0.12, 0.25, 0.180336, 0}, {0.05, 0.05, 0.20, 0.055728, 0.527864}, {0.06, 0.12, 0.30, 0.133931, 0},
	} {
		inputs := fmt.Sprintf("r1 = %g, r2 = %g, h = %g m", c.r1, c.r2, c.h)
		id := fmt.Sprintf("heat/discs-%g-%g-%g", c.r1, c.r2, c.h)
		checks = append(checks, proof.Check{ID: id, Quantity: "view factor of coaxial discs", Inputs: inputs, Expected: c.f, Abs: 1e-6,
			Standing: proof.SecondImplementation, Source: "modelnote", Note: noteModel, Ours: func() float64 { return CoaxialDiscs(c.r1, c.r2, c.h) }})
		if c.mean != 0 {
			checks = append(checks, proof.Check{ID: id + "-reradiating", Quantity: "exchange factor with re-radiating walls", Inputs: inputs, Expected: c.mean, Abs: 1e-6,
				Standing: proof.SecondImplementation, Source: "modelnote", Note: noteModel, Ours: func() float64 { return Reradiating(1, 1, CoaxialDiscs(c.r1, c.r2, c.h)) }})
		}
	}
	return append(checks,
		proof.Check{ID: "heat/discs-reciprocity", Quantity: "A1 F12 over A2 F21", Inputs: "r = 0.06 and 0.12, h = 0.25 m", Expected: 1, Abs: 1e-14, Standing: proof.Exact,
			Ours: func() float64 {
				return 0.06 * 0.06 * CoaxialDiscs(0.06, 0.12, 0.25) / (0.12 * 0.12 * CoaxialDiscs(0.12, 0.06, 0.25))
			}},
		proof.Check{ID: "heat/discs-touching", Quantity: "view factor of discs that almost touch", Inputs: "r = 0.1 m, h = 1e-6 m", Expected: 1, Abs: 2e-5, Standing: proof.Exact,
			Ours: func() float64 { return CoaxialDiscs(0.1, 0.1, 1e-6) }})
}

func convectionChecks() []proof.Check {
	return []proof.Check{
		{ID: "heat/churchill-laminar", Quantity: "Nusselt number of a vertical plate, laminar", Inputs: "Ra = 8.789e7, Pr = 0.704", Expected: 50.42, Abs: 0.005,
			Standing: proof.SecondImplementation, Source: "modelnote", Note: noteModel, Ours: func() float64 { return ChurchillChu1975Laminar(8.789e7, 0.704) }},
		{ID: "heat/churchill", Quantity: "Nusselt number of a vertical plate", Inputs: "Gr = 2.63e9, Pr = 0.69", Expected: 147.1618522, Abs: 1e-7,
			Standing: proof.SecondImplementation, Source: "bellht", Note: "worked example kept beside a public implementation", Ours: func() float64 { return ChurchillChu1975(2.63e9*0.69, 0.69) }},
		{ID: "heat/rayleigh", Quantity: "Rayleigh number of a vertical plate", Inputs: "350 K in air at 300 K, 0.3 m, 1 atm", Expected: 8.789e7, Rel: 0.03,
			Standing: proof.PublishedFromMemory, Source: "incropera2007", Note: "handbook air properties at 325 K; ours lie 2 % apart in conductivity",
			Ours: func() float64 { return AirFilm(325, 101325).Rayleigh(50, 0.3) }},
		{ID: "heat/radiation-coefficient", Quantity: "radiation coefficient", Inputs: "350 K and 300 K, emissivity 0.9", Unit: "W/(m² K)", Expected: 7.049, Abs: 0.001,
			Standing: proof.SecondImplementation, Source: "modelnote", Note: noteModel, Ours: func() float64 { return RadiationCoefficient(0.9, 350, 300) }},
		{ID: "heat/outer-vertical", Quantity: "coefficient of a warm upright wall", Inputs: "350 K, air 300 K, 0.3 m, emissivity 0.9", Unit: "W/(m² K)", Expected: 4.738 + 7.049, Rel: 0.015,
			Standing: proof.SecondImplementation, Source: "modelnote", Note: "the note takes air properties from a handbook table", Ours: func() float64 { return OuterVertical(350, 300, 0.3, 0.9, 101325) }},
		{ID: "heat/evaporation-90C", Quantity: "water leaving an open pot", Inputs: "90 °C, air 25 °C with vapour 0.011 kg/m³, h = 6 W/(m² K)", Unit: "kg/(m² s)",
			Expected: 6 / (1.0676 * 1007 * 0.9) * (0.41874 - 0.011), Rel: 2e-3, Standing: proof.Exact,
			Note: "the formula with handbook numbers: air of 330.65 K, 1.0676 kg/m³ and 1007 J/(kg K), steam of 70.18 kPa",
			Ours: func() float64 { return Evaporation(6, 363.15, 298.15, 0.011*8.314462618*298.15/0.01801528, 101325) }},
	}
}

func burnChecks() []proof.Check {
	entry := func(surface string, seconds, want float64) proof.Check {
		return proof.Check{ID: fmt.Sprintf("heat/burn-%s-%g", surface, seconds), Quantity: "burn threshold", Inputs: fmt.Sprintf("%s, %g s", surface, seconds), Unit: "°C",
			Expected: want, Abs: 1e-9, Standing: proof.PublishedFromMemory, Source: "iso13732", Ours: func() float64 {
				t, ok := BurnThreshold(surface, seconds)
				if !ok {
					return math.NaN()
				}
				return t - 273.15
			}}
	}
	return []proof.Check{entry("bare metal", 60, 51), entry("ceramic", 60, 56), entry("wood", 60, 60), entry("plastic", 600, 48), entry("bare metal", 1e6, 43)}
}

// noteCylinder is the three-layer wall of the note.
func noteCylinder() []Layer {
	return []Layer{
		{Thickness: 0.04, Solid: Solid{ConstantConductivity(0.25), 700, 900}},
		{Thickness: 0.04, Solid: Solid{ConstantConductivity(0.08), 250, 900}},
		{Thickness: 0.001, Solid: Solid{ConstantConductivity(45), 7850, 490}, Cells: 1},
	}
}

func steadyChecks() []proof.Check {
	solve := func() SteadyCylinder {
		s, err := SolveSteadyCylinder(0.06, noteCylinder(), math.Inf(1), 1000, 10, 300)
		if err != nil {
			return SteadyCylinder{math.NaN(), make([]float64, 4)}
		}
		return s
	}
	entry := func(name, quantity, unit string, expected, abs float64, ours func() float64) proof.Check {
		return proof.Check{ID: "heat/steady-" + name, Quantity: quantity, Inputs: "layers 40 mm k 0.25, 40 mm k 0.08, 1 mm k 45 from r 60 mm, 1000 K inside, 300 K with 10 W/(m² K) outside",
			Unit: unit, Expected: expected, Abs: abs, Standing: proof.Exact, Note: "ten digits from the closed form by mpmath", Ours: ours}
	}
	return []proof.Check{
		entry("loss", "heat lost per height", "W/m", 632.0581954, 1e-6, func() float64 { return solve().PerLength }),
		entry("face1", "first joint", "K", 794.453605, 1e-5, func() float64 { return solve().Faces[1] }),
		entry("face2", "second joint", "K", 371.360014, 1e-5, func() float64 { return solve().Faces[2] }),
		entry("skin", "outer face", "K", 371.344104, 1e-5, func() float64 { return solve().Faces[3] }),
		{ID: "heat/steady-kirchhoff", Quantity: "heat lost with conductivity linear in temperature", Inputs: "r 50 to 100 mm, 1000 K and 300 K, k = 0.1 + 2e-4 T", Unit: "W/m",
			Expected: 2 * math.Pi / math.Ln2 * (0.1*700 + 1e-4*(1000*1000-300*300)), Rel: 1e-10, Standing: proof.Exact, Note: "Kirchhoff's transformation",
			Ours: func() float64 {
				s, err := SolveSteadyCylinder(0.05, []Layer{{Thickness: 0.05, Solid: Solid{Conductivity: Conductivity{{0, 0.1}, {2000, 0.5}}}}}, math.Inf(1), 1000, math.Inf(1), 300)
				if err != nil {
					return math.NaN()
				}
				return s.PerLength
			}},
	}
}

// march runs a wall between two edges and reads it where asked.
func march(w *Wall, err error, seconds, dt float64, inner, outer Edge, read func(*Wall) float64) float64 {
	if err != nil {
		return math.NaN()
	}
	steps := int(math.Round(seconds / dt))
	for i := 0; i < steps; i++ {
		w.Step(seconds/float64(steps), inner, outer)
	}
	return read(w)
}

// slabChecks hold the slab against the semi-infinite solid of diffusivity
// 3e-7 m²/s and the plane wall, exact solutions (key carslaw1959).
func slabChecks() []proof.Check {
	const k, capacity = 0.2, 0.2 / 3e-7
	thick := func() (*Wall, error) {
		return NewSlab(1, []Layer{
			{Thickness: 0.1, Solid: Solid{ConstantConductivity(k), capacity / 1000, 1000}, Cells: 400},
			{Thickness: 0.4, Solid: Solid{ConstantConductivity(k), capacity / 1000, 1000}, Cells: 80}}, 0)
	}
	var checks []proof.Check
	semi := func(id string, x, t, want, abs float64, inner Edge, unit string) {
		checks = append(checks, proof.Check{ID: "heat/semi-infinite-" + id, Quantity: "temperature in a thick wall", Inputs: fmt.Sprintf("%g m deep, %g s", x, t), Unit: unit,
			Expected: want, Abs: abs, Standing: proof.Exact, Source: "carslaw1959", Note: "0.25 mm cells, 2 s steps; closed form by mpmath", Ours: func() float64 {
				w, err := thick()
				return march(w, err, t, 2, inner, Edge{0, 0}, func(w *Wall) float64 {
					if x == 0 {
						return w.InnerSurface(inner)
					}
					return w.At(x)
				})
			}})
	}
	step := Edge{math.Inf(1), 1}
	semi("step-600", 0.02, 600, 0.2918405451, 2e-5, step, "")
	semi("step-3600", 0.05, 3600, 0.2820038709, 2e-5, step, "")
	gas := Edge{20, 1}
	semi("gas-surface-600", 0, 600, 0.6504539641, 2e-5, gas, "")
	semi("gas-600", 0.02, 600, 0.1504612574, 2e-5, gas, "")
	semi("gas-3600", 0.02, 3600, 0.5287300445, 2e-5, gas, "")
	// a flux of 1000 W/m² is a gas at 1e9 K through a millionth of a W/(m² K)
	flux := Edge{1e-6, 1e9}
	semi("flux-surface-600", 0, 600, 75.69397566, 2e-3, flux, "K")
	semi("flux-600", 0.02, 600, 14.24562295, 2e-3, flux, "K")
	for _, c := range []struct{ bi, centre, surface float64 }{{0.1, 0.9679807460, 0.9217789420}, {1, 0.7725263834, 0.5045219279}, {10, 0.4546405556, 0.0643289553}} {
		// half the wall, 0.1 m, insulated inside, cooled outside from 1 to 0, Fo = 0.5
		run := func(read func(*Wall) float64) func() float64 {
			return func() float64 {
				w, err := NewSlab(1, []Layer{{Thickness: 0.1, Solid: Solid{ConstantConductivity(k), capacity / 1000, 1000}, Cells: 200}}, 1)
				return march(w, err, 0.5*0.01/3e-7, 0.5*0.01/3e-7/2000, Edge{0, 0}, Edge{c.bi * k / 0.1, 0}, read)
			}
		}
		id := fmt.Sprintf("heat/slab-bi-%g", c.bi)
		inputs := fmt.Sprintf("Bi = %g, Fo = 0.5", c.bi)
		checks = append(checks,
			proof.Check{ID: id + "-centre", Quantity: "cooling slab, centre", Inputs: inputs, Expected: c.centre, Abs: 3e-5, Standing: proof.Exact, Source: "carslaw1959", Note: "series by mpmath",
				Ours: run(func(w *Wall) float64 { return w.InnerSurface(Edge{0, 0}) })},
			proof.Check{ID: id + "-surface", Quantity: "cooling slab, surface", Inputs: inputs, Expected: c.surface, Abs: 3e-5, Standing: proof.Exact, Source: "carslaw1959", Note: "series by mpmath",
				Ours: run(func(w *Wall) float64 { return w.OuterSurface(Edge{c.bi * k / 0.1, 0}) })})
	}
	return checks
}

func cylinderChecks() []proof.Check {
	const k, diffusivity, radius = 0.2, 3e-7, 0.1
	var checks []proof.Check
	for _, c := range []struct{ bi, centre, surface, early float64 }{
		{0.1, 0.9293402896, 0.8845918637, 0.9836738904}, {1, 0.5485862039, 0.3527858375, 0.8701742439}, {10, 0.1458000594, 0.0177579744, 0.6002323369},
	} {
		outer := Edge{c.bi * k / radius, 0}
		entry := func(name string, fo, want float64, read func(*Wall) float64) {
			checks = append(checks, proof.Check{ID: fmt.Sprintf("heat/cylinder-bi-%g-%s", c.bi, name), Quantity: "cooling solid cylinder, " + name,
				Inputs: fmt.Sprintf("Bi = %g, Fo = %g", c.bi, fo), Expected: want, Abs: 3e-5, Standing: proof.Exact, Source: "carslaw1959", Note: "series by mpmath",
				Ours: func() float64 {
					w, err := NewCylinder(0, 1, []Layer{{Thickness: radius, Solid: Solid{ConstantConductivity(k), k / diffusivity / 1000, 1000}, Cells: 200}}, 1)
					seconds := fo * radius * radius / diffusivity
					return march(w, err, seconds, seconds/2000, Edge{0, 0}, outer, read)
				}})
		}
		axis := func(w *Wall) float64 { return w.T[0] }
		entry("axis", 0.5, c.centre, axis)
		entry("surface", 0.5, c.surface, func(w *Wall) float64 { return w.OuterSurface(outer) })
		entry("axis-early", 0.2, c.early, axis)
	}
	return checks
}

// layered is the two-layer cylinder of the note with its inner face stepped to 1.
func layered(cells int, seconds, dt float64, read func(*Wall) float64) float64 {
	layers := noteCylinder()[:2]
	layers[0].Cells, layers[1].Cells = cells, cells
	w, err := NewCylinder(0.06, 1, layers, 0)
	return march(w, err, seconds, dt, Edge{math.Inf(1), 1}, Edge{10, 0}, read)
}

func layeredChecks() []proof.Check {
	var checks []proof.Check
	for _, c := range []struct{ t, t08, t10, t12, t14, flux float64 }{
		{300, 0.16944131, 0.01121866, 7.9669e-5, 1.469e-7, 14.917917}, {900, 0.40751527, 0.16186680, 0.02422825, 0.00223316, 9.3098703},
		{1800, 0.57321750, 0.35680496, 0.11701728, 0.02306424, 6.5331263}, {3600, 0.72678926, 0.55974831, 0.26260250, 0.06613554, 4.0915163},
		{7200, 0.81548419, 0.68031921, 0.35828718, 0.09599599, 2.6962176},
	} {
		cells := 40
		entry := func(name string, want, abs float64, unit string, read func(*Wall) float64) {
			cells := cells // as it stands at this entry
			checks = append(checks, proof.Check{ID: fmt.Sprintf("heat/layered-%g-%s", c.t, name), Quantity: "two-layer cylinder, " + name,
				Inputs: fmt.Sprintf("inner face stepped to 1, %g s, %d cells a layer, %d s steps", c.t, cells, 400/cells), Unit: unit, Expected: want, Abs: abs,
				Standing: proof.Exact, Source: "modelnote", Note: "numerical inverse Laplace transform of the exact Bessel solution, mpmath", Ours: func() float64 { return layered(cells, c.t, 400/float64(cells), read) }})
		}
		outer := Edge{10, 0}
		entry("r080", c.t08, 1e-4, "", func(w *Wall) float64 { return w.At(0.02) })
		entry("r100", c.t10, 1e-4, "", func(w *Wall) float64 { return w.At(0.04) })
		entry("r120", c.t12, 1e-4, "", func(w *Wall) float64 { return w.At(0.06) })
		entry("r140", c.t14, 1e-4, "", func(w *Wall) float64 { return w.OuterSurface(outer) })
		cells = 80
		entry("flux", c.flux, 2e-4*c.flux, "W/(m² K)", func(w *Wall) float64 { return w.innerHalf * (1 - w.T[0]) / w.innerArea })
	}
	return checks
}

// orderChecks measure the order of convergence: how fast the error falls when
// cells and steps are halved together, and each alone.
func orderChecks() []proof.Check {
	const exact = 0.16186680
	joint := func(w *Wall) float64 { return w.At(0.04) }
	order := func(coarse, fine float64) float64 { return math.Log2(math.Abs(coarse-exact) / math.Abs(fine-exact)) }
	// in time alone, against the same cells with very small steps
	inTime := func(dt float64) float64 { return layered(80, 900, dt, joint) }
	hot := func(cells int, dt float64) float64 {
		layers := []Layer{{Thickness: 0.06, Solid: Solid{Conductivity{{300, 0.15}, {1300, 0.45}}, 700, 900}, Cells: cells}}
		w, err := NewCylinder(0.06, 1, layers, 300)
		return march(w, err, 1800, dt, Edge{30, 1100}, Edge{10, 300}, func(w *Wall) float64 { return w.At(0.02) })
	}
	return []proof.Check{
		{ID: "heat/order-both", Quantity: "observed order, cells and steps halved", Inputs: "two-layer cylinder, joint at 900 s, 40 to 80 cells, 10 to 5 s", Expected: 2, Abs: 0.1,
			Standing: proof.Exact, Note: "the scheme is of second order", Ours: func() float64 { return order(layered(40, 900, 10, joint), layered(80, 900, 5, joint)) }},
		{ID: "heat/order-space", Quantity: "observed order in space", Inputs: "two-layer cylinder, joint at 900 s, 20 to 40 cells, 2 s", Expected: 2, Abs: 0.1,
			Standing: proof.Exact, Note: "the scheme is of second order", Ours: func() float64 { return order(layered(20, 900, 2, joint), layered(40, 900, 2, joint)) }},
		{ID: "heat/order-time", Quantity: "observed order in time", Inputs: "two-layer cylinder, joint at 900 s, 80 cells, 90 to 45 s against 0.5 s", Expected: 2, Abs: 0.1,
			Standing: proof.Exact, Note: "the scheme is of second order", Ours: func() float64 {
				reference := inTime(0.5)
				return math.Log2(math.Abs(inTime(90)-reference) / math.Abs(inTime(45)-reference))
			}},
		{ID: "heat/order-conductivity", Quantity: "observed order in time, conductivity following temperature", Inputs: "one layer, k from 0.15 at 300 K to 0.45 at 1300 K, 4 to 2 s against 0.25 s",
			Expected: 2, Abs: 0.1, Standing: proof.Exact, Note: "the scheme is of second order", Ours: func() float64 {
				reference := hot(20, 0.25)
				return math.Log2(math.Abs(hot(20, 4)-reference) / math.Abs(hot(20, 2)-reference))
			}},
		{ID: "heat/balance", Quantity: "heat in less heat out less heat stored, over heat in", Inputs: "two-layer cylinder, 3600 s, 37 s steps", Expected: 0, Abs: 1e-10,
			Standing: proof.Exact, Ours: balance},
	}
}

func balance() float64 {
	layers := noteCylinder()
	layers[0].Conductivity = Conductivity{{300, 0.15}, {1300, 0.45}}
	layers[1].Contact = 0.01
	w, err := NewCylinder(0.06, 0.3, layers, 300)
	if err != nil {
		return math.NaN()
	}
	in, out := 0.0, 0.0
	for i := 0; i < 97; i++ {
		f := w.Step(37, Edge{30, 1100}, Edge{10, 300})
		in, out = in+37*f.In, out+37*f.Out
	}
	return (in - out - w.Stored(300)) / in
}
