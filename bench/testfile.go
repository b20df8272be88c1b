package bench

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/quantity"
)

// Kind is the kind of a test, as its file names it.
type Kind string

// The kinds of test files.
const (
	KindBoiling  Kind = "boiling"
	KindCooking  Kind = "cooking"
	KindKitchen  Kind = "kitchen"
	KindSequence Kind = "sequence"
	KindSafety   Kind = "safety"
	KindEmission Kind = "emission"
)

// Kinds are all kinds in the order of their pages.
var Kinds = []Kind{KindBoiling, KindCooking, KindKitchen, KindSequence, KindSafety, KindEmission}

// Words name the kind.
func (k Kind) Words() message.Text { return message.T("bench.word." + string(k)) }

// Fields is the form of a kind in the order of the paper.
func (k Kind) Fields() []Field {
	switch k {
	case KindBoiling:
		return BoilingFields()
	case KindCooking:
		return CookingFields()
	case KindKitchen:
		return KitchenFields()
	case KindSequence:
		return SequenceFields()
	case KindSafety:
		return SafetyFields()
	case KindEmission:
		return EmissionFields()
	}
	return nil
}

// CookingRun is one meal with its result.
type CookingRun struct {
	Test   CookingTest
	Result CookingResult
}

// SequenceRun is one run of the sequence with its result.
type SequenceRun struct {
	Test   SequenceTest
	Result SequenceResult
}

// KitchenRound is one round of a kitchen test with the results of its
// households, in the same order.
type KitchenRound struct {
	Round   string // before, after or ""
	List    []Kitchen
	Results []KitchenResult
}

// SafetyRun is one scorer's sheet with its score.
type SafetyRun struct {
	Sheet SafetySheet
	Score SafetyScore
}

// EmissionRun is what instruments read of one fire, with its result.
type EmissionRun struct {
	Test   EmissionTest
	Result EmissionResult
}

// TestFile is one file of any kind, read and computed. The pointer of its kind
// is set.
type TestFile struct {
	Name     string // of the file
	Kind     Kind
	About    About
	Boiling  *Run
	Cooking  *CookingRun
	Kitchen  *KitchenRound
	Sequence *SequenceRun
	Safety   *SafetyRun
	Emission *EmissionRun
}

// KindOf finds the kind of a test file by its entry "test". The error is a
// [*message.InputError].
func KindOf(data []byte) (Kind, error) {
	said, err := form.Entry(data, "test")
	if err != nil {
		return "", err
	}
	kind := Kind(strings.ToLower(strings.TrimSpace(said)))
	if slices.Contains(Kinds, kind) {
		return kind, nil
	}
	names := make([]string, len(Kinds))
	for i, k := range Kinds {
		names[i] = string(k)
	}
	complaint := &message.InputError{Field: "test", Value: clip(said), Reason: message.T("bench.kind-unknown"),
		Allowed: message.T("form.allowed", "names", strings.Join(names, ", ")), Try: "test: boiling"}
	if said == "" {
		complaint.Reason = message.T("bench.kind-missing")
	} else if near := message.Nearest(string(kind), names); near != "" {
		complaint.Try = "test: " + near
	}
	return "", complaint
}

// ReadTest reads a test file of any kind and computes it. The error is a
// [message.InputErrors] or a [*message.InputError]; what is wrong with the
// readings themselves is an alarm.
func ReadTest(name string, data []byte) (TestFile, error) {
	kind, err := KindOf(data)
	if err != nil {
		return TestFile{}, err
	}
	f := TestFile{Name: name, Kind: kind}
	read := map[Kind]func([]byte) error{KindBoiling: f.readBoiling, KindCooking: f.readCooking, KindKitchen: f.readKitchens, KindSequence: f.readSequence, KindSafety: f.readSafety, KindEmission: f.readEmission}[kind]
	return f, read(data)
}

func (f *TestFile) readBoiling(data []byte) error {
	test, err := ReadBoiling(data)
	if err != nil {
		return err
	}
	run, err := NewRun(test)
	f.About, f.Boiling = test.About, &run
	return err
}

func (f *TestFile) readCooking(data []byte) error {
	test, err := ReadCooking(data)
	if err != nil {
		return err
	}
	r, err := Cook(test)
	f.About, f.Cooking = test.About, &CookingRun{test, r}
	return err
}

func (f *TestFile) readSequence(data []byte) error {
	test, err := ReadSequence(data)
	if err != nil {
		return err
	}
	r, err := RunSequence(test)
	f.About, f.Sequence = test.About, &SequenceRun{test, r}
	return err
}

func (f *TestFile) readKitchens(data []byte) error {
	form, err := ParseKitchens(data)
	if err != nil {
		return err
	}
	list, err := form.Read()
	if err != nil {
		return err
	}
	round := &KitchenRound{Round: strings.ToLower(strings.TrimSpace(form.Round)), List: list}
	for _, k := range list {
		r, err := MeasureKitchen(k)
		if err != nil {
			return err
		}
		round.Results = append(round.Results, r)
	}
	f.About, f.Kitchen = form.About.about(), round
	return nil
}

func (f *TestFile) readSafety(data []byte) error {
	form, err := ParseSafety(data)
	if err != nil {
		return err
	}
	sheet, err := form.Read()
	if err != nil {
		return err
	}
	score, err := ScoreSafety(sheet)
	f.About, f.Safety = form.About.about(), &SafetyRun{sheet, score}
	return err
}

func (f *TestFile) readEmission(data []byte) error {
	test, err := ReadEmission(data)
	if err != nil {
		return err
	}
	r, err := Emit(test)
	f.About, f.Emission = test.About, &EmissionRun{test, r}
	return err
}

// Steps is the whole calculation; of a kitchen test, household after household
// with the code before the phase.
func (f TestFile) Steps() []Step {
	switch {
	case f.Boiling != nil:
		return f.Boiling.Result.Steps
	case f.Cooking != nil:
		return f.Cooking.Result.Steps
	case f.Sequence != nil:
		return f.Sequence.Result.Steps
	case f.Emission != nil:
		return f.Emission.Result.Steps
	case f.Kitchen != nil:
		var list []Step
		for _, r := range f.Kitchen.Results {
			for _, s := range r.Steps {
				s.Phase = r.Code + " " + s.Phase
				list = append(list, s)
			}
		}
		return list
	}
	return nil
}

// Alarms are those of the readings, worst first.
func (f TestFile) Alarms() []Alarm {
	var list []Alarm
	switch {
	case f.Boiling != nil:
		list = f.Boiling.Result.Alarms
	case f.Cooking != nil:
		list = f.Cooking.Result.Alarms
	case f.Sequence != nil:
		list = f.Sequence.Result.Alarms
	case f.Emission != nil:
		list = f.Emission.Result.Alarms
	case f.Safety != nil:
		list = f.Safety.Sheet.sense()
	case f.Kitchen != nil:
		for i, r := range f.Kitchen.Results {
			list = append(list, r.alarmsAt(i)...)
		}
	}
	list = slices.Clone(list)
	slices.SortStableFunc(list, func(a, b Alarm) int { return cmp.Compare(severityRank[a.Severity], severityRank[b.Severity]) })
	return list
}

var severityRank = map[Severity]int{Wrong: 0, Invalid: 1, Suspect: 2, Note: 3}

// mainResults are the lines of the calculation that a reader looks for, in
// their order; without a phase they stand for every phase that has them.
var mainResults = map[Kind][]string{
	KindBoiling:  {"tT", "h", "h_0", "FP", "CP", "r_b", "f_d", "SCT", "SC", "LP", "h_hp", "TDR", "BF", "BE"},
	KindCooking:  {"f_m", "f_d", "W_f", "SCf", "SEf", "r_b", "FP"},
	KindSequence: {"Q", "h0", "hc", "P_fire", "P_c", "e_char", "eCO", "ePM", "h0_mean", "h0_energy", "hc_mean", "hc_energy", "CO_mean", "PM_mean"},
	KindEmission: {"m_CO", "m_CO2", "m_CH4", "m_PM", "eCO", "ePM", "fCO", "fPM", "rCO", "rPM", "MCE", "NCE", "closure", "room_CO_day", "room_CO_end", "room_PM_day", "room_PM_end"},
	KindKitchen:  {"F", "F_d", "A", "u_m", "u_d", "u_E"},
}

// Results are the lines of the calculation that a reader looks for. The
// efficiency of the simmer is left out: making steam is no merit.
func (f TestFile) Results() []Step {
	wanted := mainResults[f.Kind]
	var list []Step
	for _, s := range f.Steps() {
		if slices.Contains(wanted, s.Key) && (s.Phase != "simmer" || s.Key != "h" && s.Key != "h_0" && s.Key != "CP") && !(s.Key == "SC" && s.Phase != "simmer" && f.Kind == KindBoiling) {
			list = append(list, s)
		}
	}
	slices.SortStableFunc(list, func(a, b Step) int {
		return cmp.Compare(slices.Index(wanted, a.Key), slices.Index(wanted, b.Key))
	})
	return list
}

// errNoPart tells a programmer that a file has none of its parts.
var errNoPart = errors.New("bench: a test file without a test")

// HasUncertainty reports whether it is known what may be off in a test of the kind: in
// those of one fire. Between kitchens the scatter tells more than any scale.
func (f TestFile) HasUncertainty() bool {
	return f.Boiling != nil || f.Cooking != nil || f.Sequence != nil || f.Emission != nil
}

// UncertaintyOf is that of one result, by the id of its step.
func (f TestFile) UncertaintyOf(id string, level float64, draws int, seed uint64) (Uncertainty, error) {
	switch {
	case f.Boiling != nil:
		return UncertaintyOf(f.Boiling.Test, id, level, draws, seed)
	case f.Cooking != nil:
		return UncertaintyOfCooking(f.Cooking.Test, id, level, draws, seed)
	case f.Sequence != nil:
		return UncertaintyOfSequence(f.Sequence.Test, id, level, draws, seed)
	case f.Emission != nil:
		return UncertaintyOfEmission(f.Emission.Test, id, level, draws, seed)
	}
	return Uncertainty{}, errNoPart
}

// Uncertainties of the main results of a test that has them. Of emissions that a run
// of the sequence brings with it, and of a kitchen that is reckoned, there are none.
// draws above zero adds the simulation.
func (f TestFile) Uncertainties(level float64, draws int, seed uint64) (map[string]Uncertainty, error) {
	if !f.HasUncertainty() {
		return nil, errNoPart
	}
	list := map[string]Uncertainty{}
	for _, s := range f.Results() {
		if !f.hasUncertainty(s) {
			continue
		}
		u, err := f.UncertaintyOf(s.ID(), level, draws, seed)
		if err != nil {
			return nil, fmt.Errorf("bench: uncertainty of %s: %w", s.ID(), err)
		}
		list[s.ID()] = u
	}
	return list, nil
}

// PerAdultDay is fuel a standard adult and day, as it is shown.
func PerAdultDay(si float64) quantity.Value {
	return quantity.Value{SI: si, Unit: units["kg/(SAE·day)"], Step: 0.01}
}

// EnergyPerAdultDay is energy a standard adult and day, as it is shown.
func EnergyPerAdultDay(si float64) quantity.Value {
	return quantity.Value{SI: si, Unit: units["MJ/(SAE·day)"], Step: 0.1}
}

// Standing says what a test of the kind is not, for beside its results.
func (f TestFile) Standing() message.Text {
	return message.T("bench.standing." + string(f.Kind))
}

// Cited are the published values to stand beside what a test says of the air,
// for what it says something of; nil for a test that says nothing of it.
func (f TestFile) Cited() []Guideline {
	if f.Emission == nil {
		return nil
	}
	var list []Guideline
	for _, g := range Guidelines {
		if g.What == "co" || f.Emission.Result.Emitted.PM > 0 {
			list = append(list, g)
		}
	}
	return list
}
