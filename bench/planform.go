package bench

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/quantity"
)

// PlanForm is a plan of tests of some stoves, or of a study of kitchens, as it is
// written; see [BoilingForm]. Whatever is left out has its usual value.
type PlanForm struct {
	Stoves     []string `yaml:"stoves,omitempty"`
	Tests      string   `yaml:"tests,omitempty"`      // of each stove; as many as needed where left out
	Households string   `yaml:"households,omitempty"` // that use two stoves in turn
	Scatter    string   `yaml:"scatter,omitempty"`    // standard deviation over the mean
	See        string   `yaml:"see,omitempty"`        // difference worth seeing
	Power      string   `yaml:"power,omitempty"`
	Level      string   `yaml:"level,omitempty"`
	Paired     string   `yaml:"paired,omitempty"` // yes or no
	Village    string   `yaml:"village_size,omitempty"`
	Likeness   string   `yaml:"likeness,omitempty"`
	Loss       string   `yaml:"loss,omitempty"`
	Population string   `yaml:"population,omitempty"`
	Meal       string   `yaml:"wood_a_meal,omitempty"`
	Seed       string   `yaml:"seed,omitempty"`
}

var planFields = form.Fields{
	form.Text("stoves", "A, B"),
	{Path: "tests", Kind: Whole, Min: 1, Max: 200, Example: "5"},
	{Path: "households", Kind: Whole, Min: 1, Max: 10000, Example: "20"},
	form.Number("scatter", quantity.Percent, 0.5, 300, false, "10 %"),
	form.Number("see", quantity.Percent, 0.5, 300, false, "10 %"),
	form.Number("power", quantity.Percent, 50, 99, false, "80 %"),
	form.Number("level", quantity.Percent, 50, 99.9, false, "95 %"),
	form.OneOf("paired", false, "no", "yes"),
	form.Number("village_size", quantity.One, 1, 1e6, false, "8"),
	form.Number("likeness", quantity.One, 0, 1, false, "0.1"),
	form.Number("loss", quantity.Percent, 0, 90, false, "10 %"),
	{Path: "population", Kind: Whole, Min: 2, Max: 1e9, Example: "400"},
	form.Number("wood_a_meal", quantity.Kilogram, 0.01, 1000, false, "2.5 kg"),
	{Path: "seed", Kind: Whole, Min: 0, Max: 1e9, Example: "1"},
}.Named("bench.plan.", "bench.plan-help.")

// PlanFields is the form of a plan in the order of the page.
func PlanFields() []Field { return planFields }

// StudyPlan is a plan understood and worked out.
type StudyPlan struct {
	Design     Design
	Plan       Plan
	Tests      int     // of each stove on the order sheet
	Detectable float64 // share that those tests show; NaN where no number was asked for
	Order      []Slot  // empty where fewer than two stoves are named
	Crossover  []Crossover
	Wood       Given // kg to lay in
	Seed       uint64
}

// Read works the plan out. The same form gives the same sheets. The error is a
// [message.InputErrors].
func (f PlanForm) Read() (StudyPlan, error) {
	r := newReader(planFields)
	share := func(path, text string, usual float64) float64 { return r.quantity(path, text).Or(usual) }
	p := StudyPlan{Seed: 1, Detectable: math.NaN(), Design: Design{
		CV: share("scatter", f.Scatter, 0.10), Difference: share("see", f.See, 0.10), Power: share("power", f.Power, 0.80), Alpha: 1 - share("level", f.Level, 0.95),
		Paired: r.Word("paired", f.Paired, "no") == "yes", PerCluster: share("village_size", f.Village, 0), ICC: share("likeness", f.Likeness, 0),
		Loss: share("loss", f.Loss, 0), Population: r.Whole("population", f.Population)}}
	if strings.TrimSpace(f.Seed) != "" {
		p.Seed = uint64(r.Whole("seed", f.Seed))
	}
	asked, households := r.Whole("tests", f.Tests), r.Whole("households", f.Households)
	meal := r.quantity("wood_a_meal", f.Meal)
	if err := r.Complaints.OrNil(); err != nil {
		return p, err
	}
	if p.Plan = PlanStudy(p.Design); p.Plan.Exact == 0 {
		r.Complain("power", f.Power, message.T("bench.plan.none"))
		return p, r.Complaints.OrNil()
	}
	if p.Tests = asked; asked == 0 {
		p.Tests = p.Plan.Visited
	}
	if asked > 1 {
		p.Detectable = Detectable(asked, p.Design)
	}
	f.lots(r, &p, households, meal)
	return p, r.Complaints.OrNil()
}

// lots draws the order of the tests, or which stove each household uses first.
func (f PlanForm) lots(r *reader, p *StudyPlan, households int, meal Given) {
	stoves := f.named()
	var err error
	switch {
	case households > 0:
		codes := make([]string, households)
		for i := range codes {
			codes[i] = fmt.Sprintf("H%02d", i+1)
		}
		if len(stoves) != 2 {
			r.Complain("households", strconv.Itoa(households), message.T("bench.plan.two"))
			return
		}
		p.Crossover, err = CrossoverSheet(codes, stoves[0], stoves[1], p.Seed)
	case len(stoves) > 0:
		p.Order, err = OrderSheet(stoves, p.Tests, p.Seed)
		if meal.Known && err == nil {
			p.Wood = Known(WoodBudget(meal.SI, len(stoves), p.Tests).SI)
		}
	}
	if err != nil {
		r.Complain("stoves", strings.Join(stoves, ", "), message.T("bench.plan.stoves-number"))
	}
}

// named are the stoves without empty names, each once.
func (f PlanForm) named() []string {
	var list []string
	seen := map[string]bool{}
	for _, s := range f.Stoves {
		if s = strings.TrimSpace(s); s != "" && !seen[strings.ToLower(s)] {
			list = append(list, s)
			seen[strings.ToLower(s)] = true
		}
	}
	return list
}
