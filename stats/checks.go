package stats

import (
	_ "embed"
	"encoding/json"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/mathext"

	"stovewright/proof"
)

//go:embed reference.json
var referenceJSON []byte

// reference holds the observations of published data sets, read from
// reference.json.
var reference = func() (sets struct {
	Lew, Lottery, Mavro, Michelso, NorrisX, NorrisY []float64
	Pontius, Wampler3, Wampler4, Wampler5           []float64
	Longley, AtmWtAg, SiRstv                        [][]float64
}) {
	if err := json.Unmarshal(referenceJSON, &sets); err != nil {
		panic(err) // the embedded file is part of the program and tested
	}
	return sets
}()

// Data of the published examples the checks stand on.
var (
	sleep1 = []float64{0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0, 2}
	sleep2 = []float64{1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4}

	permeabilityX = []float64{0.80, 0.83, 1.89, 1.04, 1.45, 1.38, 1.91, 1.64, 0.73, 1.46}
	permeabilityY = []float64{1.15, 0.88, 0.90, 0.74, 1.21}

	depressionX = []float64{1.83, 0.50, 1.62, 2.48, 1.68, 1.88, 1.55, 3.06, 1.30}
	depressionY = []float64{0.878, 0.647, 0.598, 2.05, 1.06, 1.29, 1.06, 3.14, 1.29}

	spectrometer = []float64{199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57}

	voltage = []float64{5.007, 4.994, 5.005, 4.990, 4.999}
	current = []float64{19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3}
	phase   = []float64{1.0456, 1.0438, 1.0468, 1.0428, 1.0433}

	thermometer = []float64{21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511}
	correction  = []float64{-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160}
)

// alternating is the construction of the NumAcc2 to NumAcc4 sets: a middle
// value, then 500 pairs a tenth below and above it.
func alternating(base float64) []float64 {
	x := make([]float64, 1001)
	x[0] = base + 0.2
	for i := 1; i < len(x); i += 2 {
		x[i], x[i+1] = base+0.1, base+0.3
	}
	return x
}

// value drops the error of a call on data that is known to be good; a failure
// shows as a value that no check expects.
func value[T any](v T, err error) T {
	if err != nil {
		var none T
		return none
	}
	return v
}

// Checks are this package's entries in the register of proof.
func Checks() []proof.Check {
	var all []proof.Check
	for _, part := range [][]proof.Check{describeChecks(), linearChecks(), varianceChecks(), testChecks(), powerChecks(), gumChecks(), qualityChecks()} {
		all = append(all, part...)
	}
	return all
}

// entry fills in what the checks of one group have in common.
func entry(id, quantity, inputs string, expected, abs float64, standing proof.Standing, source string, ours func() float64) proof.Check {
	return proof.Check{ID: "stats/" + id, Quantity: quantity, Inputs: inputs, Expected: expected, Abs: abs,
		Standing: standing, Source: source, Ours: ours}
}

func describeChecks() []proof.Check {
	sets := []struct {
		name         string
		x            []float64
		mean, sd, r1 float64
		tolerance    [3]float64
	}{
		{"Lew", reference.Lew, -177.435, 277.332168044316, -0.307304800605679, [3]float64{1e-12, 1e-11, 1e-14}},
		{"Lottery", reference.Lottery, 518.958715596330, 291.699727470969, -0.120948622967393, [3]float64{1e-11, 1e-11, 1e-14}},
		{"Mavro", reference.Mavro, 2.001856, 0.000429123454003053, 0.937989183438248, [3]float64{1e-14, 1e-16, 1e-12}},
		{"Michelso", reference.Michelso, 299.8524, 0.0790105478190518, 0.535199668621283, [3]float64{1e-12, 1e-14, 1e-12}},
		{"NumAcc1", []float64{10000001, 10000003, 10000002}, 10000002, 1, -0.5, [3]float64{1e-12, 1e-12, 1e-12}},
		{"NumAcc2", alternating(1), 1.2, 0.1, -0.999, [3]float64{1e-12, 1e-12, 1e-12}},
		{"NumAcc3", alternating(1000000), 1000000.2, 0.1, -0.999, [3]float64{1e-9, 1e-9, 1e-8}},
		{"NumAcc4", alternating(10000000), 10000000.2, 0.1, -0.999, [3]float64{1e-8, 1e-8, 1e-7}},
	}
	var checks []proof.Check
	for _, s := range sets {
		id := "strd-" + strings.ToLower(s.name)
		checks = append(checks,
			entry(id+"-mean", "mean", "StRD "+s.name, s.mean, s.tolerance[0], proof.Published, "niststrd1999summary", func() float64 { return Mean(s.x) }),
			entry(id+"-sd", "standard deviation", "StRD "+s.name, s.sd, s.tolerance[1], proof.Published, "niststrd1999summary", func() float64 { return SD(s.x) }),
			entry(id+"-r1", "lag-1 autocorrelation", "StRD "+s.name, s.r1, s.tolerance[2], proof.Published, "niststrd1999summary", func() float64 { return Lag1(s.x) }))
	}
	norris := func() Fit { return value(Line(reference.NorrisX, reference.NorrisY)) }
	return append(checks,
		entry("strd-norris-b0", "intercept", "StRD Norris", -0.262323073774029, 1e-12, proof.Published, "niststrd1999summary", func() float64 { return norris().Coefficients[0] }),
		entry("strd-norris-b1", "slope", "StRD Norris", 1.00211681802045, 1e-13, proof.Published, "niststrd1999summary", func() float64 { return norris().Coefficients[1] }),
		entry("strd-norris-u0", "standard error of the intercept", "StRD Norris", 0.232818234301152, 1e-12, proof.Published, "niststrd1999summary", func() float64 { return norris().SE(0) }),
		entry("strd-norris-u1", "standard error of the slope", "StRD Norris", 0.429796848199937e-3, 1e-14, proof.Published, "niststrd1999summary", func() float64 { return norris().SE(1) }),
		entry("strd-norris-s", "residual standard deviation", "StRD Norris", 0.884796396144373, 1e-12, proof.Published, "niststrd1999summary", func() float64 { return norris().S }),
		entry("strd-norris-r2", "R²", "StRD Norris", 0.999993745883712, 1e-14, proof.Published, "niststrd1999summary", func() float64 { return norris().R2 }),
		entry("incomplete-beta", "I_0.5(2,3)", "a 2, b 3, x 0.5", 0.6875, 1e-12, proof.Exact, "", func() float64 { return mathext.RegIncBeta(2, 3, 0.5) }))
}

func testChecks() []proof.Check {
	const r = "rcore2024stats"
	paired := func() TTest { return value(Paired(sleep1, sleep2)) }
	welch := func() TTest { return value(Welch(sleep1, sleep2)) }
	pooled := func() TTest { return value(Pooled(sleep1, sleep2)) }
	hours := "Student's extra hours of sleep, two drugs, n 10"
	mw := func() RankTest { return value(MannWhitney(permeabilityX, permeabilityY)) }
	permeability := "Hollander and Wolfe 1973, n 10 and 5"
	signed := func() RankTest { return value(SignedRank(depressionX, depressionY)) }
	depression := "Hollander and Wolfe 1973, 9 pairs"
	checks := []proof.Check{
		entry("sleep-paired-t", "paired t", hours, -4.0621, 5e-5, proof.Published, r, func() float64 { return paired().T }),
		entry("sleep-paired-p", "two-sided p", hours, 0.002833, 5e-7, proof.Published, r, func() float64 { return paired().P(TwoSided) }),
		entry("sleep-paired-low", "95 % lower limit", hours, -2.4598858, 5e-8, proof.Published, r, func() float64 { return paired().Interval(0.95).Low }),
		entry("sleep-paired-high", "95 % upper limit", hours, -0.7001142, 5e-8, proof.Published, r, func() float64 { return paired().Interval(0.95).High }),
		entry("sleep-welch-t", "Welch t", hours, -1.8608, 5e-5, proof.Published, r, func() float64 { return welch().T }),
		entry("sleep-welch-df", "Welch degrees of freedom", hours, 17.776, 5e-4, proof.Published, r, func() float64 { return welch().DF }),
		entry("sleep-welch-p", "two-sided p", hours, 0.07939, 5e-6, proof.Published, r, func() float64 { return welch().P(TwoSided) }),
		entry("sleep-welch-low", "95 % lower limit", hours, -3.3654832, 5e-8, proof.Published, r, func() float64 { return welch().Interval(0.95).Low }),
		entry("sleep-welch-high", "95 % upper limit", hours, 0.2054832, 5e-8, proof.Published, r, func() float64 { return welch().Interval(0.95).High }),
		entry("sleep-pooled-p", "two-sided p, pooled", hours, 0.07919, 5e-6, proof.Published, r, func() float64 { return pooled().P(TwoSided) }),
		entry("sleep-pooled-low", "95 % lower limit, pooled", hours, -3.363874, 5e-7, proof.Published, r, func() float64 { return pooled().Interval(0.95).Low }),
		entry("mw-u", "Mann-Whitney U", permeability, 35, 1e-12, proof.Published, r, func() float64 { return mw().Statistic }),
		entry("mw-exact-greater", "exact one-sided p", permeability, 0.1272, 5e-5, proof.Published, r, func() float64 { return mw().P(Greater) }),
		entry("mw-exact", "exact two-sided p", permeability, 0.254412254412254, 1e-13, proof.Published, r, func() float64 { return mw().P(TwoSided) }),
		entry("mw-normal", "normal two-sided p with continuity correction", permeability, 0.244624, 5e-7, proof.SecondImplementation, "scipy2020", func() float64 { return mw().NormalP(TwoSided) }),
		entry("mw-ties-u", "Mann-Whitney U with ties", hours, 25.5, 1e-12, proof.Published, r, func() float64 { return value(MannWhitney(sleep1, sleep2)).Statistic }),
		entry("mw-ties", "normal two-sided p with ties", hours, 0.06933, 5e-6, proof.Published, r, func() float64 { return value(MannWhitney(sleep1, sleep2)).NormalP(TwoSided) }),
		entry("signed-v", "signed-rank V", depression, 40, 1e-12, proof.Published, r, func() float64 { return signed().Statistic }),
		entry("signed-greater", "exact one-sided p", depression, 0.01953125, 1e-15, proof.Exact, "", func() float64 { return signed().P(Greater) }),
		entry("signed-p", "exact two-sided p", depression, 0.0390625, 1e-15, proof.Published, r, func() float64 { return signed().P(TwoSided) }),
		entry("signed-ties", "normal two-sided p with a zero difference", hours, 0.009091, 5e-7, proof.Published, r, func() float64 { return value(SignedRank(sleep1, sleep2)).NormalP(TwoSided) }),
		entry("hodges-lehmann", "shift by medians of differences, y-x", "Hollander and Wolfe 1973, n 10 and 5", -0.305, 5e-4, proof.SecondImplementation, "scipy2020",
			func() float64 { return HodgesLehmann(permeabilityY, permeabilityX) }),
		entry("smallest-p-3", "smallest two-sided exact p, 3 against 3", "2/C(6,3)", 0.1, 1e-15, proof.Exact, "", func() float64 { return SmallestP(3, 3) }),
		entry("smallest-p-4", "smallest two-sided exact p, 4 against 4", "2/C(8,4)", 2.0/70, 1e-15, proof.Exact, "", func() float64 { return SmallestP(4, 4) }),
		entry("grubbs-g", "Grubbs G", "8 mass spectrometer readings", 2.4687, 1e-4, proof.Published, "nist2012handbook", func() float64 { return value(Grubbs(spectrometer, 0.05)).G }),
		entry("grubbs-critical", "one-sided 5 % critical value, n 8", "n 8", 2.032, 5e-4, proof.Published, "nist2012handbook", func() float64 { return GrubbsCritical(8, 0.05) }),
	}
	// Two-sided 5 % critical values read in a textbook's table; its entry for
	// n = 7 prints 2.202 where the formula and every neighbour ask for 2.020.
	for n, want := range map[int]float64{4: 1.481, 5: 1.715, 6: 1.887, 8: 2.126, 9: 2.215, 10: 2.290, 12: 2.412, 15: 2.549} {
		checks = append(checks, entry("grubbs-table-"+itoa(n), "two-sided 5 % critical value", "n "+itoa(n), want, 1e-3, proof.Published, "harvey2016analytical",
			func() float64 { return GrubbsCritical(n, 0.025) }))
	}
	return checks
}

func itoa(n int) string { return strconv.Itoa(n) }

func ftoa(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

func powerChecks() []proof.Check {
	const r = "rcore2024stats"
	checks := []proof.Check{
		{ID: "stats/power-20", Quantity: "power of a two-sample t test", Inputs: "n 20 a group, difference 1 sd, 5 %", Expected: 0.8689528, Abs: 5e-7,
			Standing: proof.Published, Source: r, Note: "the source counts one tail only; ours counts both, 2.3e-7 more",
			Ours: func() float64 { return PowerTwoSample(20, 1, 1, 0.05) }},
		entry("size-90", "group size for 90 % power", "difference 1 sd, 5 %", 22.02110, 2e-5, proof.Published, r, func() float64 { return SampleSizeTwoSample(1, 1, 0.05, 0.9) }),
		entry("size-80", "group size for 80 % power", "difference 1 sd, 5 %", 16.71477, 5e-5, proof.Published, r, func() float64 { return SampleSizeTwoSample(1, 1, 0.05, 0.8) }),
		entry("size-paired-80", "pairs for 80 % power", "difference 0.8 sd, 5 %", 14.302803, 5e-5, proof.Published, r, func() float64 { return SampleSizePaired(0.8, 1, 0.05, 0.8) }),
	}
	// Critical values of Student's t as every table prints them.
	for _, t := range []struct{ p, df, want float64 }{
		{0.95, 4, 2.132}, {0.975, 2, 4.303}, {0.975, 4, 2.776}, {0.975, 9, 2.262}, {0.995, 16, 2.921}, {0.95, 29, 1.699}, {0.995, 1, 63.657},
	} {
		checks = append(checks, entry("t-"+ftoa(t.p)+"-"+ftoa(t.df), "quantile of Student's t", "p "+ftoa(t.p)+", df "+ftoa(t.df), t.want, 5e-4,
			proof.Published, "nist2012handbook", func() float64 { return TQuantile(t.p, t.df) }))
	}
	// Noncentral t against its defining integral, taken with 30 digits.
	for _, c := range []struct{ t, df, ncp, want float64 }{
		{2, 1, 1, 0.6228719644602817}, {-3, 1, 2, 0.002232095131850234}, {10, 3, 8, 0.5885978669729131},
		{0, 4, 1, 0.158655253931457}, {40, 5, 38, 0.478425056541582}, {1e-3, 2, 0.5, 0.3088496364558733},
		{30, 200, 28, 0.8621268752565979}, {1.9, 1e5, 2, 0.4601706354507357},
	} {
		checks = append(checks, entry("nct-"+ftoa(c.t)+"-"+ftoa(c.df), "noncentral t distribution function",
			"t "+ftoa(c.t)+", df "+ftoa(c.df)+", noncentrality "+ftoa(c.ncp), c.want, 1e-12, proof.SecondImplementation, "mpmath2023",
			func() float64 { return NoncentralTCDF(c.t, c.df, c.ncp) }))
	}
	return append(checks, planningChecks()...)
}

// planningChecks are the numbers a test series is planned with, each computed
// apart with the library named.
func planningChecks() []proof.Check {
	const s = "scipy2020"
	var checks []proof.Check
	for n, want := range map[int]float64{3: 3.070892, 4: 2.380754, 5: 2.024439, 6: 1.795541, 7: 1.631714, 8: 1.506634, 10: 1.324947} {
		checks = append(checks, entry("detectable-"+itoa(n), "difference detected with 80 % power, in sd", itoa(n)+" tests each, 5 %", want, 1e-6, proof.SecondImplementation, s,
			func() float64 { return DetectableDifference(float64(n), 0.05, 0.8) }))
	}
	for _, c := range []struct{ cv, d, want float64 }{{0.10, 0.10, 17}, {0.10, 0.20, 6}, {0.10, 0.30, 4}, {0.15, 0.15, 17}, {0.15, 0.20, 10}} {
		checks = append(checks, entry("size-cv"+ftoa(c.cv)+"-d"+ftoa(c.d), "tests for each stove, 80 % power", "CV "+ftoa(c.cv)+", difference "+ftoa(c.d), c.want, 1e-9,
			proof.SecondImplementation, s, func() float64 { return float64(Whole(SampleSizeTwoSample(c.d, c.cv, 0.05, 0.8))) }))
	}
	for _, c := range []struct{ d, want float64 }{{0.20, 34}, {0.25, 23}, {0.30, 16}} {
		checks = append(checks, entry("pairs-d"+ftoa(c.d), "paired households, 80 % power", "CV of differences 0.40, difference "+ftoa(c.d), c.want, 1e-9,
			proof.SecondImplementation, s, func() float64 { return float64(Whole(SampleSizePaired(c.d, 0.4, 0.05, 0.8))) }))
	}
	for _, c := range []struct{ cv, e, want float64 }{{0.05, 0.05, 7}, {0.10, 0.10, 7}, {0.15, 0.05, 38}, {0.20, 0.20, 7}, {0.30, 0.05, 141}} {
		checks = append(checks, entry("precision-cv"+ftoa(c.cv)+"-e"+ftoa(c.e), "tests for a 95 % interval of ± e", "CV "+ftoa(c.cv)+", e "+ftoa(c.e), c.want, 1e-9,
			proof.SecondImplementation, s, func() float64 { return float64(SizeForPrecision(c.cv, c.e, 0.95)) }))
	}
	base := []float64{708.762821, 679.241967, 731.139623, 691.888673}
	new := []float64{466.341558, 493.405751, 455.630870, 479.685668}
	food := "two stoves, four cooking tests each, g/kg"
	logs := func() Ratio { return value(LogRatio(base, new, 0.95)) }
	fieller := func() Ratio { return value(Fieller(base, new, 0.95)) }
	return append(checks,
		entry("normal-size-0.3-0.2", "textbook group size", "CV 0.3, difference 0.2, 80 %", 35.319959, 1e-6, proof.SecondImplementation, s, func() float64 { return NormalSizeTwoSample(0.3, 0.2, 0.05, 0.8) }),
		entry("normal-pairs-0.4-0.25", "textbook number of pairs", "CV 0.4, difference 0.25, 80 %", 20.093132, 1e-6, proof.SecondImplementation, s, func() float64 { return NormalSizePaired(0.4, 0.25, 0.05, 0.8) }),
		entry("ratio-df", "degrees of freedom of a ratio", food, 5.963177, 1e-5, proof.SecondImplementation, s, func() float64 { return logs().DF }),
		entry("ratio-log-low", "ratio, lower 95 % limit, log-ratio", food, 1-0.36363388, 1e-7, proof.SecondImplementation, s, func() float64 { return logs().Interval.Low }),
		entry("ratio-log-high", "ratio, upper 95 % limit, log-ratio", food, 1-0.28581828, 1e-7, proof.SecondImplementation, s, func() float64 { return logs().Interval.High }),
		entry("ratio-fieller-low", "ratio, lower 95 % limit, root of Fieller's quadratic", food, 1-0.36374277, 1e-7, proof.SecondImplementation, s, func() float64 { return fieller().Interval.Low }),
		entry("ratio-fieller-high", "ratio, upper 95 % limit, root of Fieller's quadratic", food, 1-0.28588310, 1e-7, proof.SecondImplementation, s, func() float64 { return fieller().Interval.High }),
		entry("kappa", "weighted kappa of two scorers", "ten items scored 1 to 4", 10.0/13, 1e-12, proof.SecondImplementation, s, func() float64 {
			return value(WeightedKappa([]int{4, 2, 3, 4, 3, 3, 3, 4, 3, 1}, []int{4, 3, 3, 4, 2, 3, 3, 4, 3, 2}, 4))
		}))
}

func gumChecks() []proof.Check {
	const g = "jcgm2008gum"
	h1 := []Input{{Name: "standard", U: 25, DF: 18}, {Name: "difference", U: 9.7, DF: 25.6}, {Name: "temperature coefficient", U: 2.9, DF: 50}, {Name: "temperature", U: 16.6, DF: 2}}
	gauge := func() Budget {
		return value(Propagate(func(x []float64) float64 { return x[0] + x[1] + x[2] + x[3] }, h1, nil))
	}
	impedance := func(f func(v, i, phi float64) float64) func() Budget {
		return func() Budget {
			in, r := electrical()
			return value(Propagate(func(x []float64) float64 { return f(x[0], x[1], x[2]) }, in, r))
		}
	}
	resistance := impedance(func(v, i, phi float64) float64 { return v / i * math.Cos(phi) })
	reactance := impedance(func(v, i, phi float64) float64 { return v / i * math.Sin(phi) })
	magnitude := impedance(func(v, i, phi float64) float64 { return v / i })
	correlated := func(p, q func() Budget) func() float64 {
		return func() float64 { _, r := electrical(); return ResultCorrelation(p(), q(), r) }
	}
	line := func() Fit {
		shifted := make([]float64, len(thermometer))
		for i, t := range thermometer {
			shifted[i] = t - 20
		}
		return value(Line(shifted, correction))
	}
	readings := "five simultaneous readings of V, I and phase"
	calibration := "eleven thermometer readings"
	checks := []proof.Check{
		entry("h1-u", "combined standard uncertainty of the gauge block", "25, 9.7, 2.9, 16.6 nm", 32, 0.5, proof.Published, g, func() float64 { return gauge().U }),
		entry("h1-df", "effective degrees of freedom", "18, 25.6, 50, 2", 16.7, 0.1, proof.Published, g, func() float64 { return gauge().DF }),
		entry("h1-k", "coverage factor at 99 %", "16 degrees of freedom", 2.92, 5e-3, proof.Published, g, func() float64 { k, _ := gauge().Expanded(0.99); return k }),
		entry("h1-expanded", "expanded uncertainty at 99 %", "gauge block", 93, 0.5, proof.Published, g, func() float64 { _, u := gauge().Expanded(0.99); return u }),
		entry("h2-r", "resistance", readings, 127.732, 5e-4, proof.Published, g, func() float64 { return resistance().Value }),
		entry("h2-ur", "its standard uncertainty", readings, 0.071, 5e-4, proof.Published, g, func() float64 { return resistance().U }),
		entry("h2-x", "reactance", readings, 219.847, 5e-4, proof.Published, g, func() float64 { return reactance().Value }),
		{ID: "stats/h2-ux", Quantity: "its standard uncertainty", Inputs: readings, Expected: 0.295, Abs: 6e-4, Standing: proof.Published, Source: g,
			Note: "unrounded 0.29558; the source prints 0.295 because it rounds its inputs first", Ours: func() float64 { return reactance().U }},
		entry("h2-z", "impedance", readings, 254.260, 5e-4, proof.Published, g, func() float64 { return magnitude().Value }),
		entry("h2-uz", "its standard uncertainty", readings, 0.236, 5e-4, proof.Published, g, func() float64 { return magnitude().U }),
		entry("h2-rvi", "correlation of V and I", readings, -0.3553, 5e-5, proof.Published, g, func() float64 { return Correlation(voltage, current) }),
		entry("h2-rvphi", "correlation of V and phase", readings, 0.8576, 5e-5, proof.Published, g, func() float64 { return Correlation(voltage, phase) }),
		entry("h2-riphi", "correlation of I and phase", readings, -0.6451, 5e-5, proof.Published, g, func() float64 { return Correlation(current, phase) }),
		entry("h2-rrx", "correlation of the results R and X", readings, -0.588, 5e-4, proof.PublishedFromMemory, g, correlated(resistance, reactance)),
		entry("h2-rrz", "correlation of the results R and Z", readings, -0.485, 5e-4, proof.PublishedFromMemory, g, correlated(resistance, magnitude)),
		entry("h2-rxz", "correlation of the results X and Z", readings, 0.993, 1e-3, proof.PublishedFromMemory, g, correlated(reactance, magnitude)),
		entry("h3-y1", "intercept at 20 °C", calibration, -0.1712, 5e-5, proof.Published, g, func() float64 { return line().Coefficients[0] }),
		entry("h3-u1", "its standard uncertainty", calibration, 0.0029, 5e-5, proof.Published, g, func() float64 { return line().SE(0) }),
		entry("h3-y2", "slope", calibration, 0.00218, 5e-6, proof.Published, g, func() float64 { return line().Coefficients[1] }),
		entry("h3-u2", "its standard uncertainty", calibration, 0.00067, 5e-6, proof.Published, g, func() float64 { return line().SE(1) }),
		entry("h3-r", "correlation of intercept and slope", calibration, -0.930, 5e-4, proof.Published, g, func() float64 { f := line(); return f.Covariance.At(0, 1) / f.SE(0) / f.SE(1) }),
		entry("h3-s", "residual standard deviation", calibration, 0.0035, 5e-5, proof.Published, g, func() float64 { return line().S }),
		entry("h3-b30", "correction at 30 °C", calibration, -0.1494, 5e-5, proof.Published, g, func() float64 { v, _ := line().Predict([]float64{1, 10}); return v }),
		entry("h3-u30", "its standard uncertainty", calibration, 0.0041, 5e-5, proof.Published, g, func() float64 { _, u := line().Predict([]float64{1, 10}); return u }),
	}
	return checks
}

// electrical is the input of the resistance and reactance example: means of
// five readings with their standard errors and correlations.
func electrical() ([]Input, []Correlated) {
	input := func(name string, x []float64) Input {
		s := value(Describe(x))
		return Input{Name: name, Value: s.Mean, U: s.SE, DF: float64(s.N - 1)}
	}
	return []Input{input("V", voltage), input("I", current), input("phase", phase)},
		[]Correlated{{0, 1, Correlation(voltage, current)}, {0, 2, Correlation(voltage, phase)}, {1, 2, Correlation(current, phase)}}
}

func qualityChecks() []proof.Check {
	var checks []proof.Check
	plan := SinglePlan{52, 3}
	for i, want := range []float64{.998, .980, .930, .845, .739, .620, .502, .394, .300, .223, .162, .115} {
		p := float64(i+1) / 100
		checks = append(checks, entry("oc-52-3-"+itoa(i+1), "chance of acceptance", "n 52, c 3, "+itoa(i+1)+" % bad", want, 1.1e-3,
			proof.PublishedFromMemory, "nist2012handbook", func() float64 { return plan.Accept(p) }))
	}
	for n, want := range map[int]float64{10: 0.259, 20: 0.139, 30: 0.095, 60: 0.049} {
		checks = append(checks, entry("zero-defects-"+itoa(n), "upper 95 % bound on the share of defectives", "none bad in "+itoa(n), want, 5e-4, proof.Exact, "",
			func() float64 { return ZeroDefectBound(n, 0.95) }))
	}
	hypergeometric := func(c int) func() float64 { return func() float64 { return SinglePlan{8, c}.AcceptLot(50, 5) } }
	checks = append(checks,
		// C(45,8)/C(50,8) and C(45,8)/C(50,8)+5·C(45,7)/C(50,8)
		entry("oc-lot-0", "chance of acceptance from a small lot", "lot 50 with 5 bad, n 8, c 0", 215553195.0/536878650, 1e-12, proof.Exact, "", hypergeometric(0)),
		entry("oc-lot-1", "chance of acceptance from a small lot", "lot 50 with 5 bad, n 8, c 1", (215553195.0+5*45379620)/536878650, 1e-12, proof.Exact, "", hypergeometric(1)),
		entry("variables-k", "acceptance constant", "1 % at 5 %, 6 % at 10 %", 1.9, 0.05, proof.PublishedFromMemory, "montgomery2009quality",
			func() float64 { return FindVariablesPlan(0.01, 0.05, 0.06, 0.10).K }),
		entry("variables-n", "pieces to measure, scatter unknown", "1 % at 5 %, 6 % at 10 %", 40, 0.5, proof.PublishedFromMemory, "montgomery2009quality",
			func() float64 { return FindVariablesPlan(0.01, 0.05, 0.06, 0.10).N }))
	return append(checks, chartChecks()...)
}

func chartChecks() []proof.Check {
	rows := []struct {
		n                              int
		a2, d2, d3, D3, D4, a3, c4, b3 float64
		b4                             float64
	}{
		{2, 1.880, 1.128, 0.853, 0, 3.267, 2.659, 0.7979, 0, 3.267},
		{3, 1.023, 1.693, 0.888, 0, 2.575, 1.954, 0.8862, 0, 2.568},
		{4, 0.729, 2.059, 0.880, 0, 2.282, 1.628, 0.9213, 0, 2.266},
		{5, 0.577, 2.326, 0.864, 0, 2.115, 1.427, 0.9400, 0, 2.089},
		{6, 0.483, 2.534, 0.848, 0, 2.004, 1.287, 0.9515, 0.030, 1.970},
		{7, 0.419, 2.704, 0.833, 0.076, 1.924, 1.182, 0.9594, 0.118, 1.882},
		{8, 0.373, 2.847, 0.820, 0.136, 1.864, 1.099, 0.9650, 0.185, 1.815},
		{9, 0.337, 2.970, 0.808, 0.184, 1.816, 1.032, 0.9693, 0.239, 1.761},
		{10, 0.308, 3.078, 0.797, 0.223, 1.777, 0.975, 0.9727, 0.284, 1.716},
	}
	var checks []proof.Check
	for _, r := range rows {
		for _, c := range []struct {
			name string
			want float64
			of   func(ChartConstants) float64
		}{
			{"A2", r.a2, func(c ChartConstants) float64 { return c.A2 }}, {"d2", r.d2, func(c ChartConstants) float64 { return c.D2 }},
			{"d3", r.d3, func(c ChartConstants) float64 { return c.D3Sigma }}, {"D3-range", r.D3, func(c ChartConstants) float64 { return c.RangeLow }},
			{"D4-range", r.D4, func(c ChartConstants) float64 { return c.RangeHigh }}, {"A3", r.a3, func(c ChartConstants) float64 { return c.A3 }},
			{"c4", r.c4, func(c ChartConstants) float64 { return c.C4 }}, {"B3", r.b3, func(c ChartConstants) float64 { return c.SigmaLow }},
			{"B4", r.b4, func(c ChartConstants) float64 { return c.SigmaHigh }},
		} {
			checks = append(checks, entry("chart-"+c.name+"-"+itoa(r.n), "control chart constant "+c.name, "subgroups of "+itoa(r.n), c.want, 1.1e-3,
				proof.Published, "montgomery2009quality", func() float64 { return c.of(Chart(r.n)) }))
		}
	}
	return checks
}
