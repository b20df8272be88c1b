package explore

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"stovewright/fire"
	"stovewright/internal/num"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stats"
	"stovewright/stove"
)

// Tolerance is a study of what the errors of making do: what share of the stoves
// boil in time and how many smoke, with each pot of the kitchen; and which error
// is worth working more closely. All cases meet the same draws of errors, wood,
// cook and model, so that what they share cancels.
type Tolerance struct {
	Subject  Subject
	Practice Practice
	Draws    int
	Time     float64 // s from cold to the boil that is still in time; 0 for that of the brief, or a quarter more than as drawn
	AirRatio float64 // below it a stove counts as short of air; 0 for fire.AirCaution
	Worth    float64 // share of stoves, and of wood, below which closer work is not worth it; 0 for 0.01
	Seed     uint64
	Done     []ToleranceRow

	once   sync.Once
	base   *base
	inputs []Input
	sobol  *num.Sobol
	pots   []potCase
	err    error
}

// ToleranceRow is what one case comes to.
type ToleranceRow struct {
	Error  string  // key of the error that differs from the practice; "" where none does, "gauges" where all are as the gauges have them
	Factor float64 // its size, as a share of that in the practice; 0 is perfect work
	Pot    int     // of the kitchen
	Good   float64 // share that boils in time and has air to spare
	InTime float64 // share that boils in time
	Smoky  float64 // share short of oxygen, those that choke included
	NoFit  float64 // share of pots that do not go in
	Wood   float64 // kg, mean to the boil from cold, of those that boil
	Time   float64 // s, likewise
}

// potCase is one pot of the kitchen in the stove.
type potCase struct {
	pot        stove.Pot
	sized      *stove.Stove // nil where it does not go in
	time, wood float64      // cold start over hot start, as drawn
	boil, air  float64      // as drawn: s from cold to the boil, NaN where it never boils, and the warm stove's air ratio
}

// timeToSpare is how much longer than as drawn a stove may take to be in time, where
// the brief asks for no time: about as much as a cook forgives (common practice, no
// source).
const timeToSpare = 1.25

// makingErrors are the keys of the errors, in the order of [Practice].
var makingErrors = []string{"make.tape", "make.seam", "make.dent", "make.shrinkage", "make.rods", "make.lining", "make.mouth"}

// errorFactors are the sizes at which each error is looked at.
var errorFactors = []float64{0, 0.5, 2}

// Open reads the brief and sets every pot of the kitchen into the stove.
func (t *Tolerance) Open() error {
	t.once.Do(func() { t.err = t.open() })
	return t.err
}

func (t *Tolerance) open() (err error) {
	if t.base, err = t.Subject.open(); err != nil {
		return err
	}
	if t.Draws < 2 {
		return fmt.Errorf("explore: a tolerance study needs two draws")
	}
	for _, p := range t.base.brief.Pots {
		t.pots = append(t.pots, t.base.potCase(p))
	}
	if t.Time == 0 {
		t.Time = t.base.brief.BoilTime.Or(t.usualTime())
	}
	if t.AirRatio == 0 {
		t.AirRatio = fire.AirCaution
	}
	if t.Worth == 0 {
		t.Worth = 0.01
	}
	t.inputs = append(VaryingInputs(t.Practice), UncertainInputs(t.Subject.Coefficients)...)
	t.sobol, err = num.NewSobol(len(t.inputs), mix(t.Seed)|1)
	return err
}

// usualTime is the whole minute by which a stove is in time where nobody says one;
// the planned time where the water does not boil as drawn.
func (t *Tolerance) usualTime() float64 {
	if boil := t.pots[t.designPot()].boil; boil > 0 {
		return math.Ceil(timeToSpare*boil/60) * 60
	}
	return t.base.sized.BoilTime
}

// late and airless report what the stove misses already as drawn, so that no care in
// making brings it: errors may as well mend such a stove as spoil it.
func (t *Tolerance) late() bool    { return !(t.pots[t.designPot()].boil <= t.Time) }
func (t *Tolerance) airless() bool { return !(t.pots[t.designPot()].air >= t.AirRatio) }

// potCase sets a pot into the stove and burns it, warm and cold.
func (b *base) potCase(p stove.Pot) potCase {
	c := potCase{pot: p, sized: b.sized}
	if p.Name != b.sized.Pot.Name || p.Circumference != b.sized.Pot.Circumference {
		other, ok := WithPot(b.sized, p)
		if !ok {
			c.sized = nil
			return c
		}
		c.sized = other
	}
	warm, cold := b.starts(c.sized)
	c.time, c.wood = cold[BoilTime]/warm[BoilTime], cold[Wood]/warm[Wood]
	c.boil, c.air = cold[BoilTime], warm[AirRatio]
	return c
}

// toleranceCase is one case of the study.
type toleranceCase struct {
	key    string
	factor float64
	pot    int
}

// cases are the practice with each pot, perfect work, and each error made smaller
// and larger with the pot that the stove was made for.
func (t *Tolerance) cases() []toleranceCase {
	var list []toleranceCase
	for i := range t.pots {
		list = append(list, toleranceCase{"", 1, i})
	}
	list = append(list, toleranceCase{"", 0, t.designPot()})
	for _, key := range makingErrors {
		for _, in := range t.inputs {
			if in.Key == key {
				for _, f := range errorFactors {
					list = append(list, toleranceCase{key, f, t.designPot()})
				}
			}
		}
	}
	return append(list, toleranceCase{asGauged, 1, t.designPot()})
}

// asGauged is the key of the case in which every error is as large as it was found
// to be worth: what each is forgiven alone, all may not be forgiven together.
const asGauged = "gauges"

// designPot is the pot that the stove was made for.
func (t *Tolerance) designPot() int {
	for i, p := range t.pots {
		if p.sized == t.base.sized {
			return i
		}
	}
	return 0
}

// Batch is one case.
func (t *Tolerance) Batch() (number, units int) {
	if t.Open() != nil || len(t.Done) >= len(t.cases()) {
		return len(t.Done), 0
	}
	return len(t.Done), (t.Draws + rowsPerUnit - 1) / rowsPerUnit
}

// Total counts units.
func (t *Tolerance) Total() (done, total int) {
	if t.Open() != nil {
		return 0, 0
	}
	each := (t.Draws + rowsPerUnit - 1) / rowsPerUnit
	return len(t.Done) * each, len(t.cases()) * each
}

// Unit burns some draws of a case: for each the air ratio, time and wood, or a
// negative air ratio where the pot does not go in.
func (t *Tolerance) Unit(unit int) Values {
	if t.Open() != nil {
		return nil
	}
	c := t.cases()[len(t.Done)]
	var out Values
	for i := unit * rowsPerUnit; i < min((unit+1)*rowsPerUnit, t.Draws); i++ {
		out = append(out, t.burn(c, i)...)
	}
	return out
}

func (t *Tolerance) burn(c toleranceCase, i int) Values {
	pot := t.pots[c.pot]
	if pot.sized == nil {
		return Values{-1, math.NaN(), math.NaN()}
	}
	u := make([]float64, len(t.inputs))
	t.sobol.At(uint32(i), u)
	n := t.base.asDrawn()
	factors := t.factors(c)
	for k, in := range t.inputs {
		n.set(in.Key, factors[k]*in.At(u[k]+0.5/(1<<32)))
	}
	if _, fits := Built(pot.sized, n.making); !fits {
		return Values{-1, math.NaN(), math.NaN()}
	}
	o := t.base.at(Steady).burn(pot.sized, &n)
	return Values{o[AirRatio], o[BoilTime] * pot.time, o[Wood] * pot.wood}
}

// factors are what a case makes of each input.
func (t *Tolerance) factors(c toleranceCase) []float64 {
	list := make([]float64, len(t.inputs))
	for k, in := range t.inputs {
		list[k] = 1
		if in.Key == c.key || c.key == "" && strings.HasPrefix(in.Key, "make.") {
			list[k] = c.factor
		}
	}
	if c.key != asGauged {
		return list
	}
	for _, worth := range t.Closenesses() {
		for k, in := range t.inputs {
			if in.Key == worth.Error.Key {
				list[k] = worth.Worth / worth.Usual
			}
		}
	}
	return list
}

// Take makes a row of a case's draws.
func (t *Tolerance) Take(results []Values) {
	c := t.cases()[len(t.Done)]
	row := ToleranceRow{Error: c.key, Factor: c.factor, Pot: c.pot}
	var wood, time []float64
	one := 1 / float64(t.Draws)
	for _, v := range results {
		for ; len(v) >= 3; v = v[3:] {
			air, seconds := v[0], v[1]
			inTime := seconds <= t.Time
			switch {
			case air < 0:
				row.NoFit += one
				continue
			case !(air >= fire.SmokeLimit):
				row.Smoky += one
			}
			if inTime {
				row.InTime += one
			}
			if inTime && air >= t.AirRatio {
				row.Good += one
			}
			if !math.IsNaN(seconds) {
				wood, time = append(wood, v[2]), append(time, seconds)
			}
		}
	}
	row.Wood, row.Time = -1, -1 // nothing boils
	if len(wood) > 0 {
		row.Wood, row.Time = stats.Mean(wood), stats.Mean(time)
	}
	t.Done = append(t.Done, row)
}

// Row finds a row of the study; ok is false while it is not done.
func (t *Tolerance) Row(key string, factor float64, pot int) (ToleranceRow, bool) {
	for _, r := range t.Done {
		if r.Error == key && r.Factor == factor && r.Pot == pot {
			return r, true
		}
	}
	return ToleranceRow{}, false
}

// Sizes is what one error of making does at every size that was looked at, the
// smallest first and that of the practice among them.
type Sizes struct {
	Error Input
	Rows  []ToleranceRow
}

// Sizes are the errors of which every size is done, with the pot that the stove
// was made for.
func (t *Tolerance) Sizes() []Sizes {
	if t.Open() != nil {
		return nil
	}
	var list []Sizes
	for _, in := range t.inputs {
		s := Sizes{Error: in}
		for _, f := range []float64{0, 0.5, 1, 2} {
			key := in.Key
			if f == 1 {
				key = ""
			}
			if r, ok := t.Row(key, f, t.designPot()); ok {
				s.Rows = append(s.Rows, r)
			}
		}
		if strings.HasPrefix(in.Key, "make.") && len(s.Rows) == 4 {
			list = append(list, s)
		}
	}
	return list
}

// PotNames names the pots of the kitchen, and says which of them the stove was
// made for.
func (t *Tolerance) PotNames() (names []message.Text, made int) {
	if t.Open() != nil {
		return nil, 0
	}
	for _, p := range t.pots {
		names = append(names, potText(p.pot.Name))
	}
	return names, t.designPot()
}

// Closeness is how closely one error is worth watching.
type Closeness struct {
	Error  Input
	Usual  float64 // two standard deviations, of the practice
	Worth  float64 // widest that is worth keeping to: closer gains less than the study's Worth
	Gained float64 // share of good stoves that the step from usual to worth gains
	Clean  float64 // share of stoves that it keeps from smoking
	Saved  float64 // share of wood that it saves
}

// Closenesses tell for each error the widest tolerance of those tried that is not
// worth making closer: the next closer one gains less than Worth in good stoves, in
// stoves that do not smoke and in wood. Perfect work is never asked. None is wider
// than the practice where the stove misses its time or its air already as drawn.
func (t *Tolerance) Closenesses() []Closeness {
	var list []Closeness
	for _, in := range t.inputs {
		now, ok := t.Row("", 1, t.designPot())
		if !ok || !strings.HasPrefix(in.Key, "make.") {
			continue
		}
		rows := []ToleranceRow{}
		for _, f := range []float64{2, 1, 0.5} {
			r, ok := t.Row(in.Key, f, t.designPot())
			if f == 1 {
				r, ok = now, true
				r.Factor = 1
			}
			if ok {
				rows = append(rows, r)
			}
		}
		if len(rows) < 3 {
			continue
		}
		c := Closeness{Error: in, Usual: in.High}
		if t.late() || t.airless() {
			rows = rows[1:]
		}
		pick := rows[0]
		for _, closer := range rows[1:] {
			if closer.Good-pick.Good < t.Worth && pick.Smoky-closer.Smoky < t.Worth && 1-closer.Wood/pick.Wood < t.Worth {
				break
			}
			pick = closer
		}
		c.Worth, c.Gained, c.Clean, c.Saved = in.High*pick.Factor, pick.Good-now.Good, now.Smoky-pick.Smoky, 1-pick.Wood/now.Wood
		list = append(list, c)
	}
	return list
}

// Gauge is one line of the table that is pinned up at the bench: what to measure,
// what it should be, and what is still good.
type Gauge struct {
	Name        message.Text
	Nominal     quantity.Value
	Least, Most quantity.Value
}

// forgiven reports whether the errors may all be as wide as their closeness allows:
// together they cost hardly more than the practice does.
func (t *Tolerance) forgiven() bool {
	all, ok := t.Row(asGauged, 1, t.designPot())
	now, _ := t.Row("", 1, t.designPot())
	return ok && now.Good-all.Good < t.Worth && all.Smoky-now.Smoky < t.Worth && all.Wood/now.Wood-1 < t.Worth
}

// Gauges are the limits that follow from the closeness that is worth its work, as
// somebody at the bench can measure them; none is wider than the practice where the
// errors are not forgiven together. The step of the tool in the hand is the closest
// limit.
func (t *Tolerance) Gauges() []Gauge {
	s := t.base.sized
	of := map[string]struct {
		id     string
		factor float64 // from the error to the dimension
	}{
		"make.seam": {"skirt.length", 1}, "make.shrinkage": {"chamber.width", s.ChamberWidth}, "make.rods": {"rest.height", 1},
		"make.lining": {"gap.edge", 1}, "make.mouth": {"mouth.height", 1}, "make.dent": {"skirt.gap", 1},
	}
	var list []Gauge
	forgiven := t.forgiven()
	for _, c := range t.Closenesses() {
		d, ok := of[c.Error.Key]
		if !ok {
			continue
		}
		nominal := s.Value(d.id)
		step := nominal.Step * nominal.Unit.Factor
		worth := c.Worth
		if !forgiven {
			worth = min(worth, c.Usual)
		}
		allowed := math.Max(step, math.Floor(worth*d.factor/step+1e-9)*step)
		least, most := nominal, nominal
		least.SI -= allowed
		most.SI += allowed
		list = append(list, Gauge{message.T("stove.dim." + d.id), nominal, least, most})
	}
	return list
}

// Says tells the study so far in sentences.
func (t *Tolerance) Says() []message.Text {
	var list []message.Text
	for i, p := range t.pots {
		r, ok := t.Row("", 1, i)
		if !ok {
			continue
		}
		name := potText(p.pot.Name)
		if r.NoFit < 1-1e-9 {
			list = append(list, message.T("explore.tolerance-pot", "pot", name, "good", quantity.Pct(r.Good), "intime", quantity.Pct(r.InTime),
				"limit", BoilTime.Value(t.Time), "smoky", quantity.Pct(r.Smoky)))
		}
		switch {
		case r.NoFit >= 1-1e-9:
			list = append(list, message.T("explore.tolerance-never", "pot", name))
		case r.NoFit > 0:
			list = append(list, message.T("explore.tolerance-nofit", "pot", name, "share", quantity.Pct(r.NoFit)))
		}
	}
	if perfect, ok := t.Row("", 0, t.designPot()); ok {
		list = append(list, message.T("explore.tolerance-perfect", "good", quantity.Pct(perfect.Good)))
	}
	closenesses := t.Closenesses()
	if drawn := t.pots[t.designPot()]; len(list) > 0 {
		switch {
		case math.IsNaN(drawn.boil):
			list = append(list, message.T("explore.tolerance-cold"))
		case t.late():
			list = append(list, message.T("explore.tolerance-late", "time", BoilTime.Value(drawn.boil), "limit", BoilTime.Value(t.Time)))
		}
		if t.airless() {
			list = append(list, message.T("explore.tolerance-airless", "air", AirRatio.Value(drawn.air), "limit", AirRatio.Value(t.AirRatio)))
		}
	}
	for _, c := range closenesses {
		list = append(list, c.says(t.Worth))
	}
	if !slices.ContainsFunc(closenesses, func(c Closeness) bool { return c.Worth != c.Usual }) {
		return list // together they are the practice
	}
	if all, ok := t.Row(asGauged, 1, t.designPot()); ok {
		id := "explore.tolerance-together"
		if t.forgiven() {
			id = "explore.tolerance-forgiven"
		}
		list = append(list, message.T(id, "good", quantity.Pct(all.Good), "smoky", quantity.Pct(all.Smoky)))
	}
	return list
}

// says tells how closely one error is worth watching, and for what.
func (c Closeness) says(worth float64) message.Text {
	id := "explore.tolerance-enough"
	switch {
	case c.Worth > c.Usual:
		id = "explore.tolerance-wider"
	case c.Worth < c.Usual && c.Gained >= worth:
		id = "explore.tolerance-closer"
	case c.Worth < c.Usual && c.Clean >= worth:
		id = "explore.tolerance-closer-smoke"
	case c.Worth < c.Usual:
		id = "explore.tolerance-closer-wood"
	}
	return message.T(id, "error", c.Error.Name(), "usual", c.Error.Value(c.Usual), "worth", c.Error.Value(c.Worth),
		"gained", quantity.Pct(c.Gained), "clean", quantity.Pct(c.Clean), "saved", quantity.Pct(c.Saved))
}
