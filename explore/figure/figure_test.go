package figure

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"stovewright/drawing"
	"stovewright/explore"
	"stovewright/fire"
	"stovewright/message"
	"stovewright/stove"
)

// widths are those of a phone, of half a page and of a page.
var widths = []float64{80, 125, 190}

func household() stove.Form {
	f := stove.Form{Pot: stove.PotForm{Circumference: "75.4 cm", Height: "17 cm", HandleHeight: "13.5 cm", Fill: "5 L"},
		MorePots: []stove.PotForm{{Name: "B. 2", Circumference: "69 cm", Height: "20 cm", HandleHeight: "16 cm"}}}
	return f
}

// studies are the explorations of a household, with few draws.
type studies struct {
	local     []explore.Local
	spread    explore.Spread
	search    *explore.Search
	front     []explore.Design
	reasons   explore.Reasons
	tolerance *explore.Tolerance
	learnt    explore.Learnt
	outlook   explore.Outlook
	fleet     *explore.Fleet
}

func run(t testing.TB, s explore.Study) {
	t.Helper()
	if err := explore.Run(context.Background(), s, 0, nil); err != nil {
		t.Fatal(err)
	}
}

func must[T any](t testing.TB) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// explored are made once: nothing changes them.
func explored(t testing.TB) studies {
	t.Helper()
	once.Do(func() { theStudies = study(t) })
	return theStudies
}

var (
	once       sync.Once
	theStudies studies
)

func study(t testing.TB) studies {
	t.Helper()
	form := household()
	subject := explore.Subject{Form: form, Coefficients: fire.Defaults(), Depth: explore.Steady}
	sized := must[*stove.Stove](t)(subject.Stove())
	var s studies
	inputs := append(explore.ChosenInputs(sized, 0.1), explore.UncertainInputs(subject.Coefficients)...)
	inputs = append(inputs, explore.VaryingInputs(explore.UsualPractice())...)
	s.local = must[[]explore.Local](t)(explore.LocalSensitivities(subject, inputs))

	g := must[*explore.Global](t)(explore.NewGlobal(subject, explore.Strongest(s.local, 10), 64, 3, 1))
	run(t, g)
	s.spread, _ = g.Result(explore.Efficiency)

	s.search = must[*explore.Search](t)(explore.NewSearch(subject, explore.UsualLimits(sized.Brief), explore.Prices{Brick: 20}, 12, 6, 1))
	run(t, s.search)
	s.front = must[[]explore.Design](t)(s.search.Front(12))

	other := form
	other.Yours = map[string]string{"skirt.gap": "14 mm", "chamber.width": "140 mm", "rest.height": "30 mm"}
	s.reasons = must[explore.Reasons](t)(explore.Why(subject, explore.Subject{Form: other, Coefficients: fire.Defaults(), Depth: explore.Steady}))

	s.tolerance = &explore.Tolerance{Subject: subject, Practice: explore.UsualPractice(), Draws: 64, Seed: 1}
	run(t, s.tolerance)

	// invented: one test, and one held out
	trial := explore.Trial{Name: "T. 1", Stove: "a", Form: form, Seen: []explore.Seen{{Quantity: explore.ColdTime, Value: 1500, U: 0.05}, {Quantity: explore.HotTime, Value: 1300, U: 0.05}}}
	held := trial
	held.Name, held.Seen = "T. 2", []explore.Seen{{Quantity: explore.ColdTime, Value: 1540, U: 0.05}, {Quantity: explore.HotTime, Value: 1290, U: 0.05}}
	k := must[*explore.Calibration](t)(explore.NewCalibration(fire.Defaults(), must[[]explore.Input](t)(explore.LearnableInputs(fire.Defaults(), []explore.Trial{trial}, 4)), []explore.Trial{trial}, []explore.Trial{held}, 1))
	k.Points, k.Sweeps = 16, 6
	run(t, k)
	s.learnt = must[explore.Learnt](t)(k.Result())

	steps := must[[]explore.Step](t)(explore.Steps(subject))
	s.outlook = must[explore.Outlook](t)(explore.Next(s.learnt, form, steps[:min(6, len(steps))], 3))

	s.fleet = &explore.Fleet{Kitchens: []explore.Kitchen{{Form: form, Weight: 1}}, Coefficients: fire.Defaults()}
	run(t, s.fleet)
	return s
}

// ends are names of two stoves.
var ends = [2]string{"K. 1", "K. 1, 2 (K.)"}

// all are the pictures of every study at a width.
func (s studies) all(c *message.Catalogue, width float64) map[string]*drawing.Sheet {
	return map[string]*drawing.Sheet{
		"ranking": Ranking(s.local, explore.Efficiency, 6, c, width), "ranking time": Ranking(s.local, explore.BoilTime, 6, c, width),
		"shares": Shares(s.spread, c, width), "outlook": Outlook(s.outlook, c, width), "pots": Pots(s.fleet, c, width),
		"front":      Front(s.search, s.front, explore.LeastTime, explore.LeastWood, explore.Recommend(s.front), c, width),
		"front cost": Front(s.search, s.front, explore.LeastCost, explore.LeastWood, explore.Recommend(s.front), c, width),
		"parts":      Parts(s.reasons, ends, explore.Efficiency, c, width), "parts time": Parts(s.reasons, ends, explore.BoilTime, c, width),
		"beliefs": Beliefs(s.learnt, c, width), "foretold": Foretold(s.learnt, c, width), "tolerances": Tolerances(s.tolerance, c, width),
	}
}

// clear holds a picture to texts that lie clear of each other and on the sheet.
func clear(t interface{ Errorf(string, ...any) }, name string, s *drawing.Sheet) {
	for _, o := range s.Overlaps() {
		t.Errorf("%s: %q lies on %q", name, o.A.String, o.B.String)
	}
	for _, o := range s.OffSheet() {
		t.Errorf("%s: %q lies off the sheet", name, o.String)
	}
}

func TestEveryPictureOfAHousehold(t *testing.T) {
	s := explored(t)
	for _, width := range widths {
		for name, sheet := range s.all(message.English(), width) {
			if sheet == nil {
				t.Errorf("%s: not drawn", name)
				continue
			}
			name := fmt.Sprintf("%s %.0f", name, width)
			clear(t, name, sheet)
			if dir := os.Getenv("PICTURES"); dir != "" {
				var p bytes.Buffer
				if err := sheet.PNG(&p, 130); err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(filepath.Join(dir, name+".png"), p.Bytes(), 0o644); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	text := regexp.MustCompile(`<text[^>]*>([^<]*)</text>`)
	units := regexp.MustCompile(`kW|min|°C|mm`)
	for name, sheet := range s.all(message.Pseudo(), 190) {
		clear(t, "pseudo "+name, sheet)
		var b bytes.Buffer
		if err := sheet.SVG(&b); err != nil {
			t.Fatal(err)
		}
		for _, m := range text.FindAllSubmatch(b.Bytes(), -1) {
			if words := units.ReplaceAllString(string(m[1]), ""); regexp.MustCompile(`[aeiou]`).MatchString(words) {
				t.Errorf("%s: %q is not from the catalogue", name, m[1])
			}
		}
	}
}

// barsIn are the bars of a tone in a drawing, in the order they were drawn: the
// places of their left and right ends.
func barsIn(t testing.TB, s *drawing.Sheet, tone string) (bars [][2]float64) {
	t.Helper()
	var b bytes.Buffer
	if err := s.SVG(&b); err != nil {
		t.Fatal(err)
	}
	run := regexp.MustCompile(`(?s)<g class="pen thin tone ` + tone + `"[^>]*>(.*?)</g>`)
	corner := regexp.MustCompile(`<path d="M([\d.]+) [\d.]+L([\d.]+) `)
	for _, g := range run.FindAllSubmatch(b.Bytes(), -1) {
		for _, m := range corner.FindAllSubmatch(g[1], -1) {
			x1, err1 := strconv.ParseFloat(string(m[1]), 64)
			x2, err2 := strconv.ParseFloat(string(m[2]), 64)
			if err1 != nil || err2 != nil {
				t.Fatal(err1, err2)
			}
			bars = append(bars, [2]float64{x1, x2})
		}
	}
	return bars
}

// TestBarsAreTrueToScale measures the bars on the paper: they are as long as what
// they stand for, and those of one sign lie on one side of zero.
func TestBarsAreTrueToScale(t *testing.T) {
	s := explored(t)
	c := message.English()
	const paper = 0.002 // mm, twice the rounding of the file
	for _, width := range widths {
		for m := range explore.MetricCount {
			var want []float64
			for _, g := range explore.Groups {
				for i, l := range explore.Rank(s.local, g, m) {
					if x := l.PerStep[m]; i < 5 && !math.IsNaN(x) && (i == 0 || l.Shows(m)) {
						want = append(want, x)
					}
				}
			}
			bars := barsIn(t, Ranking(s.local, m, 5, c, width), "light")
			if len(bars) != len(want) {
				t.Fatalf("%v: %d bars for %d values", m, len(bars), len(want))
			}
			most, scale := 0.0, 0.0
			zero := bars[0][1]
			if want[0] > 0 {
				zero = bars[0][0]
			}
			for i, x := range want {
				if math.Abs(x) > most {
					most, scale = math.Abs(x), (bars[i][1]-bars[i][0])/math.Abs(x)
				}
			}
			for i, x := range want {
				if long := bars[i][1] - bars[i][0]; math.Abs(long-scale*math.Abs(x)) > paper*2 {
					t.Errorf("%v at %.0f: bar %d is %.3f mm, not %.3f", m, width, i, long, scale*math.Abs(x))
				}
				if x > 0 && math.Abs(bars[i][0]-zero) > paper || x < 0 && math.Abs(bars[i][1]-zero) > paper {
					t.Errorf("%v at %.0f: bar %d of %g lies on the wrong side", m, width, i, x)
				}
			}
		}
		// the waterfall ends where the second stove stands
		var up, down float64
		sheet := Parts(s.reasons, ends, explore.BoilTime, c, width)
		for _, b := range barsIn(t, sheet, "light") {
			up += b[1] - b[0]
		}
		for _, b := range barsIn(t, sheet, "white") {
			down += b[1] - b[0]
		}
		raises, lowers := 0.0, 0.0
		for _, p := range s.reasons.Parts {
			raises, lowers = raises+math.Max(p.Brings[explore.BoilTime], 0), lowers+math.Max(-p.Brings[explore.BoilTime], 0)
		}
		if math.Abs(up*lowers-down*raises) > paper*4*(raises+lowers) {
			t.Errorf("%.0f: %.2f mm up and %.2f mm down for %g up and %g down", width, up, down, raises, lowers)
		}
	}
}

// TestThePictureOfPartsNamesTheStoves: whoever keeps it must know which two they are.
func TestThePictureOfPartsNamesTheStoves(t *testing.T) {
	for _, width := range widths {
		var b bytes.Buffer
		if err := Parts(explored(t).reasons, ends, explore.Efficiency, message.English(), width).SVG(&b); err != nil {
			t.Fatal(err)
		}
		for _, name := range ends {
			if !bytes.Contains(b.Bytes(), []byte(">"+name+"</text>")) {
				t.Errorf("%.0f: lacks %q", width, name)
			}
		}
	}
}

// TestADesignHasOneKeyInAllPictures: touch a design in one picture, and its sisters
// are found by the same key.
func TestADesignHasOneKeyInAllPictures(t *testing.T) {
	s := explored(t)
	for _, y := range s.search.Goals {
		sheet := Front(s.search, s.front, explore.LeastTime, y, explore.Recommend(s.front), message.English(), 125)
		var b bytes.Buffer
		if err := sheet.SVG(&b); err != nil {
			t.Fatal(err)
		}
		for i, d := range s.front {
			want := fmt.Sprintf(`(?s)<g class="design" data-key="%s" tabindex="0" role="button" aria-label="[^"]*%d:[^"]*%s[^"]*">.*?>%d</text>`,
				DesignKey(i), i+1, regexp.QuoteMeta(message.English().Value(y.Value(d.Objectives[slices.Index(s.search.Goals, y)]))), i+1)
			if !regexp.MustCompile(want).Match(b.Bytes()) {
				t.Errorf("%s: design %d has no group %s", y, i+1, want)
			}
		}
	}
}

// chance gives values of any size, none and infinite ones among them.
type chance struct{ *rand.Rand }

func (r chance) number() float64 {
	switch r.IntN(12) {
	case 0:
		return 0
	case 1:
		return math.NaN()
	case 2:
		return math.Inf(1)
	}
	return r.NormFloat64() * math.Pow(10, float64(r.IntN(8)-5))
}

func (r chance) outcome() (o explore.Outcome) {
	for m := range o {
		o[m] = r.number()
	}
	return o
}

func (r chance) band() fire.Band {
	return fire.Band{Low: r.number(), Middle: r.number(), High: r.number()}
}

func (r chance) index() explore.Index {
	return explore.Index{Value: r.number(), Low: r.number(), High: r.number()}
}

// TestNothingLiesOnSomethingElse: whatever a study says, texts lie clear of each
// other, at every width.
func TestNothingLiesOnSomethingElse(t *testing.T) {
	subject := explore.Subject{Form: household(), Coefficients: fire.Defaults()}
	sized := must[*stove.Stove](t)(subject.Stove())
	inputs := append(explore.ChosenInputs(sized, 0.1), explore.UncertainInputs(fire.Defaults())...)
	inputs = append(inputs, explore.VaryingInputs(explore.UsualPractice())...)
	rapid.Check(t, func(t *rapid.T) {
		r := chance{rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))}
		r.Shuffle(len(inputs), func(i, j int) { inputs[i], inputs[j] = inputs[j], inputs[i] })
		c, width := message.English(), rapid.Float64Range(80, 190).Draw(t, "width")
		m := explore.Metric(rapid.IntRange(0, int(explore.MetricCount)-1).Draw(t, "metric"))
		var local []explore.Local
		spread := explore.Spread{Metric: m, Mean: 1, SD: 0.1}
		var reasons explore.Reasons
		names := [2]string{rapid.StringMatching(`[a-zé ]{1,80}`).Draw(t, "first"), rapid.StringMatching(`[A-Z0-9]{1,120}`).Draw(t, "second")}
		reasons.Before, reasons.After, reasons.Whole = r.outcome(), r.outcome(), 1
		learnt := explore.Learnt{Beliefs: []explore.Belief{{Word: "scatter", Before: r.band(), After: r.band()}}}
		outlook := explore.Outlook{Tests: 3, Scatter: 0.06}
		for _, in := range inputs[:r.IntN(len(inputs))] {
			local = append(local, explore.Local{Input: in, At: in.Middle, Step: 0.001, PerStep: r.outcome()})
			spread.Inputs = append(spread.Inputs, explore.Share{Input: in, Group: in.Group, First: r.index(), Total: r.index()})
			reasons.Parts = append(reasons.Parts, explore.Part{Key: in.Key, Brings: r.outcome(), Doubt: r.outcome()})
			learnt.Beliefs = append(learnt.Beliefs, explore.Belief{Input: in, Before: r.band(), After: r.band()})
			learnt.Foretold = append(learnt.Foretold, explore.Foretold{Trial: in.Key, HeldOut: in.Group == explore.Varies,
				Seen: explore.Seen{Quantity: explore.ColdTime, Value: math.Exp(10 * r.Float64())}, Before: r.band(), After: r.band()})
			outlook.Promises = append(outlook.Promises, explore.Promise{Step: explore.Step{Name: in.Key + ": 1 mm"}, Gain: r.number(),
				Information: r.number(), ShortOfAir: 0.3 * r.Float64()})
		}
		search := &explore.Search{Goals: []explore.Goal{explore.LeastWood, explore.LeastTime, explore.LeastCost, explore.Steadiest}}
		var front []explore.Design
		for range rapid.IntRange(1, 50).Draw(t, "designs") {
			var d explore.Design
			for _, size := range []float64{0.5, 1500, 300, 0.2} {
				d.Objectives = append(d.Objectives, size*[]float64{1, 1.0001, 1.3, 0.5 + r.Float64()}[r.IntN(4)])
			}
			front = append(front, d)
		}
		pair := rapid.Permutation(search.Goals).Draw(t, "goals")
		for name, sheet := range map[string]*drawing.Sheet{
			"ranking": Ranking(local, m, 8, c, width), "shares": Shares(spread, c, width), "parts": Parts(reasons, names, m, c, width),
			"beliefs": Beliefs(learnt, c, width), "foretold": Foretold(learnt, c, width), "outlook": Outlook(outlook, c, width),
			"front": Front(search, front, pair[0], pair[1], 0, c, width),
		} {
			if sheet != nil {
				clear(t, name, sheet)
			}
		}
	})
}

func BenchmarkRanking(b *testing.B) {
	list, c := explored(b).local, message.English()
	for b.Loop() {
		var out bytes.Buffer
		if err := Ranking(list, explore.Efficiency, 6, c, 170).SVG(&out); err != nil {
			b.Fatal(err)
		}
	}
}

// TestNumbersStandNearTheirDesigns: designs in one place, as a choice without
// effect gives them, do not send their numbers across the picture.
func TestNumbersStandNearTheirDesigns(t *testing.T) {
	search := &explore.Search{Goals: []explore.Goal{explore.LeastWood, explore.LeastTime}}
	var front []explore.Design
	for _, o := range [][]float64{{0.3, 1500}, {0.3, 1500}, {0.3001, 1500}, {0.4, 1200}, {0.45, 1000}} {
		front = append(front, explore.Design{Objectives: o})
	}
	sheet := Front(search, front, explore.LeastTime, explore.LeastWood, 0, message.English(), 125)
	clear(t, "front", sheet)
	var b bytes.Buffer
	if err := sheet.SVG(&b); err != nil {
		t.Fatal(err)
	}
	for i := range front {
		group := regexp.MustCompile(`(?s)data-key="` + DesignKey(i) + `".*?<path d="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)"`).FindSubmatch(b.Bytes())
		if group == nil {
			t.Fatalf("design %d has no line", i+1)
		}
		var v [4]float64
		for k := range v {
			v[k], _ = strconv.ParseFloat(string(group[k+1]), 64)
		}
		if long := math.Hypot(v[2]-v[0], v[3]-v[1]); long > 15 {
			t.Errorf("the number of design %d stands %.1f mm away", i+1, long)
		}
	}
}
