package bench

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stats"
)

// SafetyMeasure is one kind of reading of an item: Limits are the upper ends of
// ratings 4, 3 and 2 in Unit.
type SafetyMeasure struct {
	Key       string     `yaml:"key"`
	Unit      string     `yaml:"unit"`
	Inclusive bool       `yaml:"inclusive"` // a value on a limit still has the better rating
	Limits    [3]float64 `yaml:"limits"`
	Example   string     `yaml:"example"` // of a reading, where it has no unit
}

// tiltRatio is the measure of the tipping item: height tipped over height upright.
const tiltRatio = "tilt-ratio"

// MeasuringPoint is where on the stove a reading is taken: part, height as a
// share of the body and degrees around from the fuel mouth, for the drawing.
type MeasuringPoint struct {
	Key    string  `yaml:"key"`
	Part   string  `yaml:"part"`
	Height float64 `yaml:"height"`
	Around float64 `yaml:"around"`
}

// Name is the point in words.
func (p MeasuringPoint) Name() message.Text { return message.T("bench.point." + p.Key) }

// SafetyItem is one of the ten items.
type SafetyItem struct {
	Key      string           `yaml:"key"`
	Weight   float64          `yaml:"weight"`
	Measures []SafetyMeasure  `yaml:"measures"`
	Words    map[string]int   `yaml:"words"`
	Absent   int              `yaml:"absent"` // the rating of a stove without that part; 0 when it must have it
	Points   []MeasuringPoint `yaml:"points"`
}

// Name is the item in words; Help says how the reading is taken.
func (i SafetyItem) Name() message.Text { return message.T("bench.safety." + i.Key) }

// Help says how the reading is taken.
func (i SafetyItem) Help() message.Text { return message.T("bench.safety." + i.Key + ".how") }

var safetyTable = load[struct {
	Description string `yaml:"description"`
	Source      string `yaml:"source"`
	Standing    string `yaml:"standing"`
	Bands       []struct {
		Key  string  `yaml:"key"`
		From float64 `yaml:"from"`
	} `yaml:"bands"`
	Items []SafetyItem `yaml:"items"`
}]("safety.yaml")

// SafetyItems are the ten items in their order (johnson2005safety).
func SafetyItems() []SafetyItem { return slices.Clone(safetyTable.Items) }

// SafetyReading is one reading: a measured value in SI at a point, or a word.
type SafetyReading struct {
	Item    string
	Measure string // key of the measure; "" for a word
	Point   string
	Value   float64 // SI
	Word    string
	Rating  int // given by hand, 1 to 4; 0 to work it out
}

// SafetySheet is what one scorer found.
type SafetySheet struct {
	Scorer   string
	Readings []SafetyReading
	Absent   []string // items whose part the stove does not have

	Durability map[string]float64 // points by element; nil when the sheet has none
}

// SafetyScore is a sheet added up.
type SafetyScore struct {
	Ratings map[string]int
	Total   float64 // 25 to 100
	Band    string  // of the original test: best, good, fair, poor
	ISO     Tier
	Worst   []string // items rated 1 or 2, those that cost most points first
}

// ScoreSafety rates each item by its worst reading and adds up rating times
// weight (johnson2005safety). The error is a [message.InputErrors]: every item
// needs a reading, a rating or a word.
func ScoreSafety(s SafetySheet) (SafetyScore, error) {
	score := SafetyScore{Ratings: map[string]int{}}
	var complaints message.InputErrors
	for _, r := range s.Readings {
		item, ok := safetyItem(r.Item)
		rating := 0
		if ok {
			rating = item.rate(r)
		}
		if rating == 0 {
			complaints = append(complaints, &message.InputError{Field: "safety." + clip(r.Item), Value: clip(r.Measure + r.Word), Reason: message.T("bench.safety.unreadable"), Try: "rating: 3"})
			continue
		}
		if old, seen := score.Ratings[r.Item]; !seen || rating < old {
			score.Ratings[r.Item] = rating
		}
	}
	for _, item := range safetyTable.Items {
		if item.Absent > 0 && slices.Contains(s.Absent, item.Key) {
			score.Ratings[item.Key] = item.Absent
		}
		rating, rated := score.Ratings[item.Key]
		if !rated {
			complaints = append(complaints, &message.InputError{Field: "safety." + item.Key, Reason: message.T("bench.safety.missing", "item", item.Name()), Try: "rating: 3"})
		}
		score.Total += float64(rating) * item.Weight
		if rated && rating <= 2 {
			score.Worst = append(score.Worst, item.Key)
		}
	}
	if len(complaints) > 0 {
		return SafetyScore{}, complaints
	}
	slices.SortStableFunc(score.Worst, func(a, b string) int {
		x, _ := safetyItem(a)
		y, _ := safetyItem(b)
		return cmp.Compare(y.Weight*float64(4-score.Ratings[b]), x.Weight*float64(4-score.Ratings[a]))
	})
	score.grade()
	return score, nil
}

func (s *SafetyScore) grade() {
	s.Band = safetyBand(s.Total)
	iso, _ := ScaleOf("iso-default")
	a, _ := iso.Indicator("safety")
	s.ISO = a.Of(s.Total)
}

func safetyBand(total float64) string {
	for _, b := range safetyTable.Bands {
		if total >= b.From {
			return b.Key
		}
	}
	return ""
}

func safetyItem(key string) (SafetyItem, bool) {
	for _, i := range safetyTable.Items {
		if i.Key == key {
			return i, true
		}
	}
	return SafetyItem{}, false
}

// rate gives 1 to 4, or 0 when the reading does not fit the item.
func (i SafetyItem) rate(r SafetyReading) int {
	if r.Rating != 0 {
		if r.Rating < 1 || r.Rating > 4 {
			return 0
		}
		return r.Rating
	}
	if r.Word != "" {
		return i.Words[r.Word]
	}
	for _, m := range i.Measures {
		if m.Key == r.Measure && !math.IsNaN(r.Value) {
			return m.rate(safetyUnits[m.Unit].Number(r.Value))
		}
	}
	return 0
}

func (m SafetyMeasure) rate(number float64) int {
	for k, limit := range m.Limits {
		if number < limit || m.Inclusive && number <= limit {
			return 4 - k
		}
	}
	return 1
}

var safetyUnits = map[string]quantity.Unit{"": quantity.One, "cm": quantity.Centimetre, "cm²": quantity.SquareCM, "K": quantity.KelvinDiff}

// Agreement is two scorers side by side. Six testers who scored five stoves
// agreed on the overall rating of one (gallagher2016safety), so one sheet alone
// is not much.
type Agreement struct {
	Totals   [2]float64
	Mean     float64
	PlusLess float64 // half the difference of the totals
	Kappa    float64 // weighted kappa of the ten ratings; NaN when both gave one rating throughout
	Apart    []string
	SameBand bool
	SameTier bool
	Alarms   []Alarm
}

// AgreeSafety compares two sheets of one stove.
func AgreeSafety(a, b SafetyScore) (Agreement, error) {
	g := Agreement{Totals: [2]float64{a.Total, b.Total}, Mean: (a.Total + b.Total) / 2, PlusLess: math.Abs(a.Total-b.Total) / 2,
		SameBand: a.Band == b.Band, SameTier: a.ISO == b.ISO}
	var x, y []int
	for _, item := range safetyTable.Items {
		ra, rb := a.Ratings[item.Key], b.Ratings[item.Key]
		x, y = append(x, ra), append(y, rb)
		if ra-rb >= 2 || rb-ra >= 2 {
			g.Apart = append(g.Apart, item.Key)
		}
	}
	var err error
	if g.Kappa, err = stats.WeightedKappa(x, y, 4); err != nil {
		return Agreement{}, fmt.Errorf("bench: two safety sheets: %w", err)
	}
	if len(g.Apart) > 0 {
		names := make([]message.Text, len(g.Apart))
		for i, key := range g.Apart {
			names[i] = message.T("bench.safety." + key)
		}
		g.Alarms = append(g.Alarms, Alarm{Key: "scorers-apart", Severity: Suspect, Standing: "common practice", Text: message.T("bench.safety.apart", "items", names)})
	}
	if !g.SameTier {
		g.Alarms = append(g.Alarms, Alarm{Key: "scorers-tier", Severity: Suspect, Standing: "common practice", Text: message.T("bench.safety.tier-apart")})
	}
	return g, nil
}

// DurabilityElements are the parts of a durability sheet; their points are the
// user's to enter.
var DurabilityElements = load[struct {
	Description string   `yaml:"description"`
	Source      string   `yaml:"source"`
	Standing    string   `yaml:"standing"`
	Elements    []string `yaml:"elements"`
}]("durability.yaml").Elements

// Durability adds up a durability sheet, lower is better, and reads it against
// the tiers. An unknown element or points below zero are an input error.
func Durability(points map[string]float64) (total float64, tier Tier, err error) {
	var complaints message.InputErrors
	keys := make([]string, 0, len(points))
	for key := range points {
		keys = append(keys, key)
	}
	slices.Sort(keys)
	for _, key := range keys {
		if !slices.Contains(DurabilityElements, key) || !(points[key] >= 0) {
			complaints = append(complaints, &message.InputError{Field: "durability." + clip(key), Reason: message.T("bench.durability.unreadable"), Try: DurabilityElements[0] + ": 2"})
			continue
		}
		total += points[key]
	}
	iso, _ := ScaleOf("iso-default")
	i, _ := iso.Indicator("durability")
	return total, i.Of(total), complaints.OrNil()
}

// Load is a part of the loaded stove: kg, and the height of its centre in m.
type Load struct{ Mass, Height float64 }

// Tip is how a loaded stove tips over.
type Tip struct {
	CentreHeight float64 // m
	Distance     float64 // m, from the centre to the tipping line
	Angle        float64 // rad
	Ratio        float64 // height of a point above the tipping line at tipping, over upright: cos of the angle
	Rating       int     // of the safety item
}

// TipOver is atan(d/h) for stacked loads on a base: round with feet 0, else
// that many feet on a circle of the radius, d = R·cos(π/N); offset is how far
// the common centre lies off the middle. It needs a load and three feet or none.
func TipOver(loads []Load, radius float64, feet int, offset float64) (Tip, error) {
	var mass, moment float64
	for _, l := range loads {
		mass += l.Mass
		moment += l.Mass * l.Height
	}
	t := Tip{CentreHeight: moment / mass, Distance: radius - offset}
	if feet > 0 {
		t.Distance = radius*math.Cos(math.Pi/float64(feet)) - offset
	}
	if !(mass > 0 && t.CentreHeight > 0 && radius > 0) || feet == 1 || feet == 2 || !(offset >= 0) {
		return Tip{}, fmt.Errorf("bench: tipping of %g kg on radius %g m with %d feet", mass, radius, feet)
	}
	t.Angle = math.Atan2(math.Max(0, t.Distance), t.CentreHeight)
	t.Ratio = math.Cos(t.Angle)
	item, _ := safetyItem("tipping")
	t.Rating = item.Measures[0].rate(t.Ratio)
	return t, nil
}

// BurnThreshold is the span of temperature in K at which skin burns on a surface
// touched that long (iso13732surfaces).
type BurnThreshold struct {
	Low, High float64 // K
	Seconds   float64 // of the row used: the next longer contact
	Standing  string
}

var burnTable = lazy[struct {
	Description string `yaml:"description"`
	Source      string `yaml:"source"`
	Contacts    []struct {
		Seconds  float64    `yaml:"seconds"`
		Standing string     `yaml:"standing"`
		Metal    [2]float64 `yaml:"metal"`
		Ceramic  [2]float64 `yaml:"ceramic"`
		Plastic  [2]float64 `yaml:"plastic"`
		Wood     [2]float64 `yaml:"wood"`
	} `yaml:"contacts"`
}]("burns.yaml")

// Surfaces are what the burn thresholds are known for.
var Surfaces = []string{"metal", "ceramic", "plastic", "wood"}

// Contacts are the times of contact that a report sets thresholds beside: a brush, a
// touch, a hand that is slow, a minute, ten, and a day of leaning.
var Contacts = []quantity.Value{{SI: 0.5, Unit: quantity.Second, Step: 0.1}, {SI: 1, Unit: quantity.Second, Step: 1}, {SI: 10, Unit: quantity.Second, Step: 1}, {SI: 60, Unit: quantity.Minute, Step: 1}, {SI: 600, Unit: quantity.Minute, Step: 1}, {SI: 28800, Unit: quantity.Hour, Step: 1}}

// BurnAt is the threshold of a surface for a time of contact in s; between rows
// the longer contact is taken. ok is false for an unknown surface, and for
// contacts beyond eight hours or not above zero.
func BurnAt(surface string, seconds float64) (b BurnThreshold, ok bool) {
	if !(seconds > 0) {
		return b, false
	}
	for _, row := range burnTable().Contacts {
		if seconds > row.Seconds {
			continue
		}
		span, known := map[string][2]float64{"metal": row.Metal, "ceramic": row.Ceramic, "plastic": row.Plastic, "wood": row.Wood}[surface]
		return BurnThreshold{span[0] + zeroC, span[1] + zeroC, row.Seconds, row.Standing}, known
	}
	return b, false
}
