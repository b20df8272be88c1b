package nest

import (
	"math"

	"stovewright/proof"
)

// Checks are the entries of this package in the register of proof: published
// test problems with known optima, and small cases that can be worked out by
// hand.
func Checks() []proof.Check {
	var checks []proof.Check
	checks = append(checks, unconstrainedChecks()...)
	checks = append(checks, constrainedChecks()...)
	checks = append(checks, stripChecks()...)
	return append(checks, handChecks()...)
}

// value fills a sheet with a shear and returns what is on it.
func value(stock Stock, parts []Part) func() float64 {
	return func() float64 {
		f, err := Fill(stock, parts, Options{})
		if err != nil {
			return math.NaN()
		}
		return f.Value
	}
}

func unconstrainedChecks() []proof.Check {
	entry := func(id, name, inputs string, want float64, source string, stock Stock, parts []Part) proof.Check {
		return proof.Check{ID: "nest/" + id, Quantity: "greatest value by edge-to-edge cuts, counts unlimited, problem " + name,
			Inputs: inputs, Expected: want, Rel: 1e-9, Standing: proof.Published, Source: source, Ours: value(stock, parts)}
	}
	const fixed, free = "pieces keep their direction", "pieces may be turned"
	const cintra, hifi = "cintra2008algorithms", "hifi1996recursive"
	return []proof.Check{
		entry("gcut1", "gcut1", fixed, 56460, cintra, gcut1.sheet(), gcut1.parts()),
		entry("gcut1-turned", "gcut1", free, 58136, cintra, gcut1.sheet(), turned(gcut1.parts())),
		entry("gcut2", "gcut2", fixed, 60536, cintra, gcut2.sheet(), gcut2.parts()),
		entry("gcut2-turned", "gcut2", free, 60611, cintra, gcut2.sheet(), turned(gcut2.parts())),
		entry("gcut5", "gcut5", fixed, 246000, cintra, gcut5.sheet(), gcut5.parts()),
		entry("gcut5-turned", "gcut5", free, 246000, cintra, gcut5.sheet(), turned(gcut5.parts())),
		entry("cgcut1-unlimited", "cgcut1", fixed, 249, hifi, cgcut1.sheet(), unlimited(cgcut1.parts())),
		entry("cgcut2-unlimited", "cgcut2", fixed, 3076, hifi, cgcut2.sheet(), unlimited(cgcut2.parts())),
		entry("of1-unlimited", "OF1", fixed, 2758, hifi, of1.sheet(), unlimited(of1.parts())),
		entry("of2-unlimited", "OF2", fixed, 2776, hifi, of2.sheet(), unlimited(of2.parts())),
	}
}

func constrainedChecks() []proof.Check {
	entry := func(id, name, inputs string, want float64, standing proof.Standing, source, note string, stock Stock, parts []Part) proof.Check {
		return proof.Check{ID: "nest/" + id, Quantity: "greatest value by edge-to-edge cuts, counts limited, problem " + name,
			Inputs: inputs, Expected: want, Rel: 1e-9, Standing: standing, Source: source, Note: note, Ours: value(stock, parts)}
	}
	turnedSheet := cgcut1.sheet()
	turnedSheet.Width, turnedSheet.Height = turnedSheet.Height, turnedSheet.Width
	return []proof.Check{
		entry("cgcut1", "cgcut1", "sheet 15 × 10", 244, proof.PublishedFromMemory, "christofides1977algorithm", "", cgcut1.sheet(), cgcut1.parts()),
		entry("cgcut1-other-way", "cgcut1", "sheet 10 × 15: the direction matters", 225, proof.SecondImplementation, "christofides1977algorithm",
			"the data are the source's; the value was found by an exhaustive search over sets of pieces, which the tests repeat",
			turnedSheet, cgcut1.parts()),
		entry("cgcut2", "cgcut2", "sheet 40 × 70", 2892, proof.Published, "fayard1998efficient", "", cgcut2.sheet(), cgcut2.parts()),
		entry("of1", "OF1", "sheet 70 × 40", 2737, proof.PublishedFromMemory, "oliveira1990improved", "", of1.sheet(), of1.parts()),
		entry("of2", "OF2", "sheet 70 × 40", 2690, proof.PublishedFromMemory, "oliveira1990improved", "", of2.sheet(), of2.parts()),
	}
}

func stripChecks() []proof.Check {
	entry := func(id string, in instance, tool Tool, inputs string, rel float64, note string) proof.Check {
		return proof.Check{ID: "nest/strip-" + id, Quantity: "least height of a strip for all pieces", Inputs: inputs,
			Expected: in.height, Rel: rel, Standing: proof.Published, Source: "hopper2001empirical", Note: note,
			Ours: func() float64 {
				l, err := Strip(Stock{Width: in.width * unit}, turned(in.parts()), Options{Tool: tool})
				if err != nil {
					return math.NaN()
				}
				return l.Sheet.Height / unit
			}}
	}
	const exact, shear = "the optimum is an exact tiling", "the optimum need not be one of edge-to-edge cuts; within a tenth is asked"
	return []proof.Check{
		entry("c1p1", stripC1P1, Snips, "C1P1, width 20, 16 pieces, snips", 1e-9, exact),
		entry("c1p3", stripC1P3, Snips, "C1P3, width 20, 16 pieces, snips", 1e-9, exact),
		entry("c2p1", stripC2P1, Snips, "C2P1, width 40, 25 pieces, snips", 1e-9, exact),
		entry("c1p1-shear", stripC1P1, Shear, "C1P1, width 20, 16 pieces, shear", 0.10, shear),
		entry("c1p3-shear", stripC1P3, Shear, "C1P3, width 20, 16 pieces, shear", 0.10, shear),
		entry("c2p1-shear", stripC2P1, Shear, "C2P1, width 40, 25 pieces, shear", 0.10, shear),
	}
}

func handChecks() []proof.Check {
	count := func(p Part, s Stock, o Options) func() float64 {
		return func() float64 {
			f, err := Fill(s, []Part{p}, o)
			if err != nil {
				return math.NaN()
			}
			return float64(f.Counts[0])
		}
	}
	strip := Part{Width: 1, Height: 0.25, Count: Unlimited}
	return []proof.Check{
		{ID: "nest/no-kerf", Quantity: "strips of 250 mm from a metre", Inputs: "no kerf", Expected: 4, Abs: 1e-9,
			Standing: proof.Exact, Ours: count(strip, Stock{Width: 1, Height: 1}, Options{})},
		{ID: "nest/kerf", Quantity: "strips of 250 mm from a metre", Inputs: "kerf 3 mm: 4·250 + 3·3 > 1000", Expected: 3, Abs: 1e-9,
			Standing: proof.Exact, Ours: count(strip, Stock{Width: 1, Height: 1}, Options{Kerf: 0.003})},
		{ID: "nest/kerf-to-spare", Quantity: "strips of 250 mm from 1009 mm", Inputs: "kerf 3 mm: 4·250 + 3·3 = 1009", Expected: 4, Abs: 1e-9,
			Standing: proof.Exact, Ours: count(strip, Stock{Width: 1, Height: 1.009}, Options{Kerf: 0.003})},
		{ID: "nest/dual-feasible", Quantity: "least number of sheets for four squares, by dual feasible functions",
			Inputs: "squares of 0.6 m, sheets of 1 m: no two fit together, though by area two sheets would do", Expected: 4, Abs: 1e-9,
			Standing: proof.Exact, Ours: func() float64 {
				l, err := Nest([]Stock{{Width: 1, Height: 1, Count: Unlimited}}, []Part{{Width: 0.6, Height: 0.6, Count: 4}}, Options{})
				if err != nil {
					return math.NaN()
				}
				return float64(l.SheetsBound)
			}},
	}
}
