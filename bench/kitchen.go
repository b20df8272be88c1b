package bench

import (
	"cmp"
	"fmt"
	"math"
	"sort"
	"strings"
	"sync"
	"time"

	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stats"
)

// People are those a kitchen really cooked for on one day.
type People struct{ Children, Women, Men, ElderMen float64 }

var adultWeights = sync.OnceValue(func() map[string]float64 {
	table := load[struct {
		Description string `yaml:"description"`
		Source      string `yaml:"source"`
		Standing    string `yaml:"standing"`
		Weights     []struct {
			Key    string  `yaml:"key"`
			Weight float64 `yaml:"weight"`
		} `yaml:"weights"`
	}]("people.yaml")
	weights := map[string]float64{}
	for _, w := range table.Weights {
		weights[w.Key] = w.Weight
	}
	return weights
})

// AdultEquivalents are standard adults: child to 14 years 0.5, woman 0.8, man
// 15 to 59 years 1, older man 0.8 (fao1983surveys).
func (p People) AdultEquivalents() float64 {
	w := adultWeights()
	return p.Children*w["child"] + p.Women*w["woman"] + p.Men*w["man"] + p.ElderMen*w["elder-man"]
}

// FuelDay is one fuel on one day: the stock in the morning, what was added, and
// the stock next morning, kg.
type FuelDay struct{ Start, Added, End float64 }

// KitchenFuel is one fuel of one household over the days of the visit.
type KitchenFuel struct {
	Key      string
	LHV      float64 // J/kg dry
	LHVFrom  Origin  // default where empty
	Moisture float64 // of the wet mass; 0 for charcoal, kerosene and gas
	Days     []FuelDay
}

// Kitchen is one household in one round of a kitchen test. Households go by a
// code, never by name.
type Kitchen struct {
	Code    string
	People  []People // a day each, those actually cooked for
	Fuels   []KitchenFuel
	Visits  []time.Time // when each was made; zero where it is not known
	Other   []string    // how much of a day was cooked on a stove whose fuel is not weighed: none, part, mostly, "" for not known
	Scale   float64     // kg, its step; 0 where it is not known
	Cluster string      // village, for the design effect
	Feast   bool        // a holiday or market day fell into the visit
}

// KitchenResult is what a household used a standard adult and day.
type KitchenResult struct {
	Code   string
	Fuels  map[string]FuelUse
	Energy float64 // J a SAE-day, all fuels together
	Steps  []Step
	Alarms []Alarm
}

// FuelUse is one fuel a standard adult and day.
type FuelUse struct {
	Moist, Dry float64 // kg
	Energy     float64 // J
}

// Usable reports whether no alarm spoils the result.
func (r KitchenResult) Usable() bool { return usable(r.Alarms) }

// leastDays is the length of a round that the protocol asks for.
const leastDays = 3

var kitchenSheet = lazySheet("kitchen-fuel.yaml")

// MeasureKitchen computes one household (kpt2007protocol). The denominator is
// standard adults for the dry and the moist figure alike. The error tells a
// programmer that the days of a fuel and of the people differ.
func MeasureKitchen(k Kitchen) (KitchenResult, error) {
	r := KitchenResult{Code: k.Code, Fuels: map[string]FuelUse{}}
	adults := make([]float64, len(k.People))
	for i, p := range k.People {
		adults[i] = p.AdultEquivalents()
	}
	for i, f := range k.Fuels {
		if len(f.Days) != len(adults) || len(adults) == 0 {
			return KitchenResult{}, fmt.Errorf("bench: kitchen %s: %d days of %s, %d of people", k.Code, len(f.Days), f.Key, len(adults))
		}
		c := kitchenSheet().start(len(adults), true)
		c.constants()
		c.set("m", f.Moisture, Measured)
		c.set("LHVd", f.LHV/1e6, cmp.Or(f.LHVFrom, Default))
		column := func(of func(FuelDay) float64) []float64 {
			list := make([]float64, len(f.Days))
			for i, d := range f.Days {
				list[i] = of(d)
			}
			return list
		}
		c.setRows("F_s", column(func(d FuelDay) float64 { return d.Start }))
		c.setRows("F_a", column(func(d FuelDay) float64 { return d.Added }))
		c.setRows("F_e", column(func(d FuelDay) float64 { return d.End }))
		c.setRows("SAE", adults)
		c.unfoldPeople(k.People)
		c.run(c.before, nil)
		use := FuelUse{Moist: c.si("u_m"), Dry: c.si("u_d"), Energy: c.si("u_E")}
		r.Fuels[f.Key] = use
		r.Energy += use.Energy
		for _, s := range c.steps {
			s.Phase = f.Key
			r.Steps = append(r.Steps, s)
		}
		for _, a := range c.alarms() {
			a.Phase, a.Entries = f.Key, dayEntries(a.Repeat, i, len(adults))
			r.Alarms = append(r.Alarms, a)
		}
	}
	r.Alarms = append(r.Alarms, k.sense(adults)...)
	for day := range adults {
		r.Alarms = append(r.Alarms, k.senseDay(day, adults[day])...)
	}
	return r, nil
}

// dayEntries are the entries of readings of a fuel on a day, within the
// household; fuels count from nought, days from one.
func dayEntries(keys []string, fuel, day int) []string {
	list := make([]string, len(keys))
	for i, key := range keys {
		name, known := map[string]string{"F_s": "start", "F_a": "added", "F_e": "end"}[key]
		switch {
		case known:
			list[i] = fmt.Sprintf("fuels[%d].days[%d].%s", fuel+1, day, name)
		case key == "SAE":
			list[i] = fmt.Sprintf("people[%d].women", day)
		case key == "m":
			list[i] = fmt.Sprintf("fuels[%d].fuel.moisture", fuel+1)
		}
	}
	return list
}

// alarmsAt are the alarms of a household as those of its place in the round,
// counted from nought.
func (r KitchenResult) alarmsAt(i int) []Alarm {
	list := make([]Alarm, len(r.Alarms))
	for j, a := range r.Alarms {
		a.Phase = strings.TrimSpace(r.Code + " " + a.Phase)
		entries := make([]string, len(a.Entries))
		for k, path := range a.Entries {
			if path != "" {
				entries[k] = fmt.Sprintf("households[%d].%s", i+1, path)
			}
		}
		a.Entries = entries
		list[j] = a
	}
	return list
}

// Limits of a day in a kitchen; common practice, no source.
const (
	shortDay   = 20 * time.Hour
	longDay    = 28 * time.Hour
	muchEnergy = 80e6 // J a standard adult and day
	coarse     = 0.1  // of what is weighed, for the step of a scale
	otherNone  = "none"
)

// senseDay looks at one day, so that a wrong reading is known while the
// household is still there; day counts from nought.
func (k Kitchen) senseDay(day int, adults float64) []Alarm {
	var found []Alarm
	ring := func(key string, severity Severity, repeat, entries []string, args ...any) {
		found = append(found, Alarm{Key: key, Severity: severity, Standing: "common practice", Repeat: repeat, Entries: entries,
			Text: message.T("bench.kitchen."+key, append(args, "n", day+1)...)})
	}
	kg := func(v float64) quantity.Value { return quantity.Value{SI: v, Unit: quantity.Kilogram, Step: 0.01} }
	for i, f := range k.Fuels {
		d := f.Days[day]
		used := d.Start + d.Added - d.End
		weighed := []string{"F_e", "F_s", "F_a"}
		switch energy := used * (1 - f.Moisture) * f.LHV; {
		case used < 0:
			ring("day-grew", Wrong, weighed, dayEntries(weighed, i, day+1), "fuel", message.T("bench.word."+f.Key), "left", kg(d.End), "was", kg(d.Start+d.Added))
		case energy > muchEnergy*adults && adults > 0:
			ring("day-much", Suspect, weighed, dayEntries(weighed, i, day+1), "fuel", message.T("bench.word."+f.Key), "used", kg(used))
		case used == 0 && len(k.Fuels) == 1 && adults > 0 && k.other(day) != "mostly":
			ring("day-nothing", Suspect, weighed, dayEntries(weighed, i, day+1))
		case used > 0 && k.Scale > coarse*used && len(k.Fuels) == 1:
			ring("scale-stock", Suspect, weighed[:1], dayEntries(weighed[:1], i, day+1), "step", kg(k.Scale), "used", kg(used))
		}
		if day > 0 && math.Abs(d.Start-f.Days[day-1].End) > math.Max(k.Scale, 0.05) {
			ring("stock-jumped", Suspect, []string{"F_e", "F_s"}, []string{dayEntries([]string{"F_e"}, i, day)[0], dayEntries([]string{"F_s"}, i, day+1)[0]},
				"before", kg(f.Days[day-1].End), "after", kg(d.Start))
		}
	}
	if adults == 0 {
		ring("day-nobody", Suspect, []string{"SAE"}, dayEntries([]string{"SAE"}, 0, day+1))
	}
	if len(k.Visits) > day+1 && !k.Visits[day].IsZero() && !k.Visits[day+1].IsZero() {
		if gone := k.Visits[day+1].Sub(k.Visits[day]); gone < shortDay || gone > longDay {
			ring("visit-hours", Suspect, []string{"visit"}, []string{fmt.Sprintf("visits[%d]", day+2)}, "hours", quantity.Value{SI: gone.Seconds(), Unit: quantity.Hour, Step: 0.1})
		}
	}
	if o := k.other(day); o != "" && o != otherNone && len(k.Fuels) == 1 {
		ring("other-unweighed", Suspect, []string{"other"}, []string{fmt.Sprintf("people[%d].other_stove", day+1)})
	}
	return found
}

// other is how much was cooked elsewhere on a day; "" where it is not known.
func (k Kitchen) other(day int) string {
	if day < len(k.Other) {
		return k.Other[day]
	}
	return ""
}

// sense looks at the visit as a whole.
func (k Kitchen) sense(adults []float64) []Alarm {
	var found []Alarm
	ring := func(key string, severity Severity, args ...any) {
		found = append(found, Alarm{Key: key, Severity: severity, Standing: "common practice", Text: message.T("bench.kitchen."+key, args...)})
	}
	if len(adults) < leastDays {
		ring("few-days", Suspect, "n", len(adults))
	}
	if k.Feast {
		ring("feast", Suspect)
	}
	if s, err := stats.Describe(adults); err == nil && s.N > 1 && s.Max > 1.5*math.Max(s.Min, 1e-9) {
		ring("people-changed", Note, "least", quantity.Value{SI: s.Min, Unit: quantity.One, Step: 0.1}, "most", quantity.Value{SI: s.Max, Unit: quantity.One, Step: 0.1})
	}
	if len(k.Fuels) > 1 {
		ring("several-fuels", Note, "n", len(k.Fuels))
	}
	return found
}

// KitchenStudy compares a kitchen test before and after, or of two groups.
type KitchenStudy struct {
	Paired      bool
	Comparison  Comparison     // of the groups; for pairs, of the same households before and after
	Saving      float64        // share of energy saved a SAE-day, ratio of means
	Interval    stats.Interval // of the saving
	PairedT     stats.TTest    // before minus after, J a SAE-day
	SignedRank  stats.RankTest
	Households  int
	Lost        int     // measured before and not after
	LossShare   float64 // of those measured before
	ICC         float64 // likeness of households of one village; NaN when it cannot be told
	Effect      float64 // design effect by the ICC
	Needed      int     // pairs or households of each group to see Settings.Look
	LostDiffers float64 // p that lost households used as much before as those kept; NaN for none
	Alarms      []Alarm
}

// StudyPairs compares the same households before and after by the energy a
// standard adult and day. Paired designs are to be preferred: kitchens differ
// far more from each other than a kitchen from itself.
func StudyPairs(before, after []Kitchen, s Settings) (KitchenStudy, error) {
	first, alarms, err := energies(before)
	if err != nil {
		return KitchenStudy{}, err
	}
	second, more, err := energies(after)
	if err != nil {
		return KitchenStudy{}, err
	}
	study := KitchenStudy{Paired: true, Alarms: append(alarms, more...), LostDiffers: math.NaN(), ICC: math.NaN(), Effect: 1}
	var x, y, lost, difference []float64
	clusters := map[string][]float64{}
	for _, k := range before {
		b, measured := first[k.Code]
		a, again := second[k.Code]
		switch {
		case measured && again:
			x, y = append(x, b), append(y, a)
			difference = append(difference, b-a)
			clusters[k.Cluster] = append(clusters[k.Cluster], b-a)
		case measured:
			lost = append(lost, b)
		}
	}
	study.Households, study.Lost = len(x), len(lost)
	study.LossShare = float64(len(lost)) / math.Max(1, float64(len(first)))
	if study.PairedT, err = stats.Paired(x, y); err != nil {
		return KitchenStudy{}, fmt.Errorf("bench: kitchen study: %w", err)
	}
	if study.SignedRank, err = stats.SignedRank(x, y); err != nil {
		return KitchenStudy{}, fmt.Errorf("bench: kitchen study: %w", err)
	}
	if ratio, err := stats.PairedLogRatio(x, y, s.Level); err == nil {
		_, study.Interval = ratio.Saving()
	}
	study.Saving = 1 - stats.Mean(y)/stats.Mean(x)
	study.cluster(clusters, len(x))
	if n := stats.SampleSizePaired(s.Look*stats.Mean(x), stats.SD(difference), s.Alpha, s.Power); !math.IsNaN(n) {
		study.Needed = stats.Whole(n * study.Effect)
	}
	if t, err := stats.Welch(lost, x); err == nil {
		study.LostDiffers = t.P(stats.TwoSided)
	}
	study.sense(s)
	return study, nil
}

// StudyGroups compares two groups of different households.
func StudyGroups(base, new []Kitchen, s Settings) (KitchenStudy, error) {
	first, alarms, err := energies(base)
	if err != nil {
		return KitchenStudy{}, err
	}
	second, more, err := energies(new)
	if err != nil {
		return KitchenStudy{}, err
	}
	study := KitchenStudy{Alarms: append(alarms, more...), LostDiffers: math.NaN(), ICC: math.NaN(), Effect: 1}
	c, err := CompareSamples(quantityName("u_E"), units["MJ/(SAE·day)"], -1, Sample{"base", inOrder(base, first)}, Sample{"new", inOrder(new, second)}, s)
	if err != nil {
		return KitchenStudy{}, err
	}
	study.Comparison = c
	study.Households = len(first) + len(second)
	study.Saving, study.Interval = c.Ratio.Saving()
	clusters := map[string][]float64{}
	for i, group := range [][]Kitchen{base, new} {
		values := []map[string]float64{first, second}[i]
		mean := stats.Mean(inOrder(group, values))
		for _, k := range group {
			if v, ok := values[k.Code]; ok {
				clusters[k.Cluster] = append(clusters[k.Cluster], v-mean)
			}
		}
	}
	study.cluster(clusters, study.Households)
	study.Needed = int(math.Ceil(float64(c.Needed) * study.Effect))
	study.sense(s)
	return study, nil
}

// cluster works out how much households of one village are alike.
func (s *KitchenStudy) cluster(clusters map[string][]float64, households int) {
	if len(clusters) < 2 {
		return
	}
	names := make([]string, 0, len(clusters))
	for name := range clusters {
		names = append(names, name)
	}
	sort.Strings(names) // the same sums in the same order every time
	groups := make([][]float64, len(names))
	for i, name := range names {
		groups[i] = clusters[name]
	}
	if icc, err := stats.IntraclassCorrelation(groups...); err == nil {
		s.ICC = icc
		s.Effect = stats.DesignEffect(float64(households)/float64(len(groups)), math.Max(0, icc))
	}
}

// Loss of households that a study can bear before it is said; common practice.
const lossBearable = 0.20

func (s *KitchenStudy) sense(settings Settings) {
	ring := func(key string, severity Severity, args ...any) {
		s.Alarms = append(s.Alarms, Alarm{Key: key, Severity: severity, Standing: "common practice", Text: message.T("bench.kitchen."+key, args...)})
	}
	if s.LossShare > lossBearable {
		ring("many-lost", Suspect, "share", quantity.Pct(s.LossShare), "n", s.Lost)
	}
	if s.LostDiffers < settings.Alpha {
		ring("lost-differ", Suspect)
	}
	if s.Effect > 1.2 {
		ring("villages-alike", Note, "effect", quantity.Value{SI: s.Effect, Unit: quantity.One, Step: 0.1})
	}
	if !s.Paired {
		ring("unpaired", Note)
	}
}

// energies measures every kitchen; those whose readings cannot be right are
// left out, and their alarms kept with the code of the household.
func energies(list []Kitchen) (map[string]float64, []Alarm, error) {
	values := map[string]float64{}
	var alarms []Alarm
	for _, k := range list {
		r, err := MeasureKitchen(k)
		if err != nil {
			return nil, nil, err
		}
		if r.Usable() {
			values[k.Code] = r.Energy
		}
		for _, a := range r.Alarms {
			a.Phase = k.Code
			if a.Spoils() { // one bad household spoils itself, not the study
				a.Severity = Suspect
			}
			alarms = append(alarms, a)
		}
	}
	return values, alarms, nil
}

func inOrder(list []Kitchen, values map[string]float64) []float64 {
	var out []float64
	for _, k := range list {
		if v, ok := values[k.Code]; ok {
			out = append(out, v)
		}
	}
	return out
}

// Design is what a study is planned with.
type Design struct {
	CV         float64 // standard deviation over the base mean; of the differences when Paired
	Difference float64 // share of the base mean worth seeing
	Paired     bool
	Alpha      float64
	Power      float64
	PerCluster float64 // households a village; 1 or 0 for none
	ICC        float64
	Loss       float64 // share expected to drop out
	Population int     // households in all; 0 for very many
}

// Plan is the number of households of a design and how it came about.
type Plan struct {
	Exact    int // by the noncentral t, each group or pairs
	Textbook int // by the normal approximation, for comparison with tables
	Clusters int // with the design effect
	Visited  int // to be visited so that enough remain, at least three
}

// PlanStudy works out how many households, or tests of each stove, a design
// needs. NaN-safe: a design that admits no answer gives zeros.
func PlanStudy(d Design) Plan {
	exact, textbook := stats.SampleSizeTwoSample(d.Difference, d.CV, d.Alpha, d.Power), stats.NormalSizeTwoSample(d.CV, d.Difference, d.Alpha, d.Power)
	if d.Paired {
		exact, textbook = stats.SampleSizePaired(d.Difference, d.CV, d.Alpha, d.Power), stats.NormalSizePaired(d.CV, d.Difference, d.Alpha, d.Power)
	}
	if math.IsNaN(exact) || !(d.Loss >= 0 && d.Loss < 1) {
		return Plan{}
	}
	p := Plan{Exact: stats.Whole(exact), Textbook: stats.Whole(textbook)}
	n := float64(p.Exact) * stats.DesignEffect(math.Max(1, d.PerCluster), d.ICC)
	if d.Population > 0 {
		n = stats.FinitePopulation(n, float64(d.Population))
	}
	p.Clusters = stats.Whole(n)
	p.Visited = max(stats.Whole(stats.WithAttrition(float64(p.Clusters), d.Loss)), 3)
	return p
}

// Detectable is the difference, as a share of the base mean, that so many tests
// of each stove, or pairs, show with the power of a design.
func Detectable(tests int, d Design) float64 {
	if d.Paired {
		// A paired t of n differences has n-1 degrees of freedom; the smallest
		// difference that reaches the power is found by halving.
		low, high := 0.0, 100*d.CV
		for range 60 {
			if mid := (low + high) / 2; stats.PowerPaired(float64(tests), mid, d.CV, d.Alpha) < d.Power {
				low = mid
			} else {
				high = mid
			}
		}
		return high
	}
	return stats.DetectableDifference(float64(tests), d.Alpha, d.Power) * d.CV
}
