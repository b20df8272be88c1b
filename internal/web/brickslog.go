package web

import (
	"context"
	"fmt"
	"html/template"
	"math"
	"net/http"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"stovewright/brick"
	"stovewright/brick/figure"
	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/quantity"
)

// dryingPaper is the weigh-back log of a marked brick.
var dryingPaper = &brickPaper{
	Key: brick.DryingPaper, fields: brick.DryingFields, example: "red-mark.yaml", lists: []string{"rows"},
	parse: parser(brick.ParseDrying),
	begin: func(*message.Catalogue) any { return &brick.DryingForm{Rows: make([]brick.WeighingForm, 3)} },
	read:  func(f any) (any, error) { return readDrying(f.(*brick.DryingForm)) },
	clean: func(f any) any {
		filled, _ := filledRows(f.(*brick.DryingForm).Rows, func(r brick.WeighingForm) bool { return r == brick.WeighingForm{} })
		out := *f.(*brick.DryingForm)
		out.Rows = filled
		return &out
	},
}

// kilnPaper is a firing: what was wanted, the log, and where the bricks stood.
var kilnPaper = &brickPaper{
	Key: brick.FiringPaper, fields: brick.KilnFields, example: "third-load.yaml", lists: []string{"rows", "bricks"},
	parse: parser(brick.ParseKiln),
	begin: func(c *message.Catalogue) any {
		return &brick.KilnForm{Positions: []string{c.S("web.bricks.top"), c.S("web.bricks.bottom")}, Peak: "1000 °C", Thickness: "60 mm",
			Rows: make([]brick.KilnRowForm, 3)}
	},
	settle: func(f any) { evenRows(f.(*brick.KilnForm)) },
	read:   func(f any) (any, error) { return readKiln(f.(*brick.KilnForm)) },
	clean:  func(f any) any { return kilnFile(*f.(*brick.KilnForm)) },
}

func init() {
	dryingPaper.page, dryingPaper.glance, dryingPaper.grown = dryingPageOf, dryingGlance, nextWeighing
	kilnPaper.page, kilnPaper.glance, kilnPaper.press, kilnPaper.grown = kilnPageOf, kilnGlance, pressKiln, nextHour
}

// nextWeighing writes the day of a new line that follows a whole day.
func nextWeighing(f any, list string, n int) {
	rows := f.(*brick.DryingForm).Rows
	if n > 1 {
		rows[n-1].Time = following(rows[n-2].Time, "d")
	}
}

// nextHour writes the time of a new line of the log, an hour after the last.
func nextHour(f any, list string, n int) {
	if rows := f.(*brick.KilnForm).Rows; list == "rows" && n > 1 {
		rows[n-1].Time = following(rows[n-2].Time, "h")
	}
}

var (
	wholeTime = regexp.MustCompile(`^\s*(\d{1,3})\s*([dh])\s*$`)
	clockTime = regexp.MustCompile(`^\s*([01]?\d|2[0-3]):([0-5]\d)\s*$`)
)

// following is the time of the line after one, where that is plain: the next day
// or hour; the next hour of the clock.
func following(time, unit string) string {
	if m := wholeTime.FindStringSubmatch(time); m != nil && m[2] == unit {
		n, _ := strconv.Atoi(m[1])
		return strconv.Itoa(n+1) + " " + unit
	}
	if m := clockTime.FindStringSubmatch(time); m != nil && unit == "h" {
		hour, _ := strconv.Atoi(m[1])
		return fmt.Sprintf("%02d:%s", (hour+1)%24, m[2])
	}
	return ""
}

// filledRows leaves out the rows in which nothing stands, and says where the
// others stood, counted from one.
func filledRows[T any](rows []T, empty func(T) bool) (filled []T, at []int) {
	for i, r := range rows {
		if !empty(r) {
			filled, at = append(filled, r), append(at, i+1)
		}
	}
	return filled, at
}

// placed leads complaints about filled-in rows back to their places on the page.
func placed(err error, list string, at []int) message.InputErrors {
	complaints, _ := message.Complaints(err)
	for _, c := range complaints {
		if m := itemPath.FindStringSubmatch(c.Field); m != nil && m[1] == list {
			if n, _ := strconv.Atoi(m[2]); n >= 1 && n <= len(at) {
				c.Field = fmt.Sprintf("%s[%d]%s", list, at[n-1], m[3])
			}
		}
	}
	return complaints
}

func readDrying(f *brick.DryingForm) (brick.DryingLog, error) {
	filled := *f
	var at []int
	filled.Rows, at = filledRows(f.Rows, func(r brick.WeighingForm) bool { return r == brick.WeighingForm{} })
	log, err := filled.Read()
	return log, placed(err, "rows", at).OrNil()
}

var dryingParts = []brickPart{
	{Key: "marked", Paths: []string{"name", "note", "scale", "dry"}, Step: brick.StepDrying},
	{Key: "weighings", List: "rows", Item: "rows", Paths: []string{"time", "mass", "note"}, Table: true},
}

type dryingPage struct {
	sheetPage
	Verdict *brick.DryingVerdict
	Facts   []brickFact
	Days    []dryingDay
	Strip   answerStrip
}

// dryingDay is what a weighing says beside the one before.
type dryingDay struct {
	Time, Mass quantity.Value
	Loss       message.Text // in a day, of the mass
	Width      int          // of its bar, in hundredths
}

func dryingPageOf(b *Bench, r *http.Request, s *sheet) (string, any, error) {
	p := dryingPage{sheetPage: sheetPage{b.sheetFrame(r, s), b.sheetGroups(s, dryingParts, brick.Mix{})}}
	log, err := readDrying(s.Form.(*brick.DryingForm))
	if err == nil && len(log.Rows) > 0 {
		if v, err := log.Verdict(); err == nil {
			p.Verdict = &v
			p.Facts = dryingFacts(v)
			p.Days = dryingDays(log)
			p.Strip = answerStrip{Short: p.Facts, Facts: p.Facts, Words: []message.Text{v.Text}}
			p.Strip.Short = append([]brickFact{brickFactOf("web.bricks.into-kiln", message.T(pickID(v.Ready, "web.bricks.ready", "web.bricks.not-ready")))}, p.Facts[:min(2, len(p.Facts))]...)
		}
	}
	return "bricksdrying", p, nil
}

func pickID(first bool, a, b string) string {
	if first {
		return a
	}
	return b
}

func dryingFacts(v brick.DryingVerdict) (list []brickFact) {
	if !math.IsNaN(v.DailyLoss) {
		list = append(list, brickFactOf("web.bricks.daily-loss", plainText(percentOf(v.DailyLoss))))
	}
	if !v.Ready && !math.IsNaN(v.DaysLeft.Best) && v.DaysLeft.Best > 0 {
		days := func(d float64) quantity.Value { return quantity.Value{SI: d * 86400, Unit: quantity.Day, Step: 0.5} }
		list = append(list, brickFactOf("web.bricks.days-left", bandText(v.DaysLeft, days)))
	}
	if !math.IsNaN(v.Left) {
		list = append(list, brickFactOf("web.bricks.water-left", plainText(quantity.Pct(v.Left))))
	}
	return list
}

// dryingDays show how fast the mass fell from one weighing to the next.
func dryingDays(log brick.DryingLog) (list []dryingDay) {
	const day = 86400.0
	first := log.Rows[0].Mass
	for i, row := range log.Rows {
		d := dryingDay{Time: quantity.Value{SI: row.Time, Unit: quantity.Day, Step: 0.1}, Mass: quantity.Value{SI: row.Mass, Unit: quantity.Gram, Step: 1}, Width: int(100 * row.Mass / first)}
		if i > 0 {
			before := log.Rows[i-1]
			d.Loss = plainText(percentOf((before.Mass - row.Mass) / before.Mass / (row.Time - before.Time) * day))
		}
		list = append(list, d)
	}
	return list
}

func dryingGlance(_ *Bench, _ context.Context, s *sheet) []message.Text {
	log, err := readDrying(s.Form.(*brick.DryingForm))
	if err != nil || len(log.Rows) == 0 {
		return []message.Text{message.T("web.bricks.glance.unfinished")}
	}
	v, err := log.Verdict()
	if err != nil {
		return nil
	}
	return []message.Text{v.Text}
}

// evenRows gives every line of a log as many temperatures as there are places.
func evenRows(f *brick.KilnForm) {
	for i := range f.Rows {
		t := f.Rows[i].Temps
		for len(t) < len(f.Positions) {
			t = append(t, "")
		}
		f.Rows[i].Temps = t
	}
}

func emptyKilnRow(r brick.KilnRowForm) bool {
	return blank(append(slices.Clone(r.Temps), r.Time, r.Fuel, r.Event)...)
}

// kilnFile is a firing as its file has it: without empty lines, and with a dash
// where a temperature was not read.
func kilnFile(f brick.KilnForm) *brick.KilnForm {
	f.Rows, _ = filledRows(f.Rows, emptyKilnRow)
	f.Rows = slices.Clone(f.Rows)
	for i := range f.Rows {
		f.Rows[i].Temps = slices.Clone(f.Rows[i].Temps)
		for len(f.Rows[i].Temps) > len(f.Positions) && blank(f.Rows[i].Temps[len(f.Rows[i].Temps)-1]) {
			f.Rows[i].Temps = f.Rows[i].Temps[:len(f.Rows[i].Temps)-1]
		}
	}
	return &f
}

func readKiln(f *brick.KilnForm) (brick.KilnFiring, error) {
	filled := *f
	var at []int
	filled.Rows, at = filledRows(f.Rows, emptyKilnRow)
	firing, err := filled.Read()
	complaints := placed(err, "rows", at)
	for _, c := range complaints {
		if strings.HasSuffix(c.Field, ".temps") { // the line as a whole
			c.Field += "[1]"
		}
	}
	return firing, complaints.OrNil()
}

// kilnPage is a firing: plan, log, comparison, and where the rejects stood.
type kilnPage struct {
	sheetPage
	Plan     *brick.Schedule
	Steps    []kilnStep
	Hourly   []kilnHour
	Duration quantity.Value
	Cones    []string
	Chart    template.HTML
	Report   *brick.KilnReport
	Facts    []brickFact
	Passages []kilnPassage
	Places   []brick.PlaceEffect
	Layers   []kilnLayer
	Map      template.HTML
	Grid     [3]string // layers, rows and columns of a new map
	Good     int
	Rejects  int
	Cooling  []message.Text // cautions of the end of a firing
	Strip    answerStrip
}

type kilnStep struct {
	From, To, Duration quantity.Value
	Rate               message.Text
	Why                message.Text
}

type kilnHour struct {
	Hour   int
	Temp   quantity.Value
	Colour message.Text
}

type kilnPassage struct {
	Why          message.Text
	Spent, Asked quantity.Value
	Fast         bool
}

// kilnLayer is one layer of the kiln seen from above.
type kilnLayer struct {
	Number int
	Rows   [][]kilnPlace
}

type kilnPlace struct {
	Layer, Row, Column int
	Verdict            string // good, reject or nothing
}

// Address is what the button of the place sends.
func (p kilnPlace) Address() string { return fmt.Sprintf("flip:%d.%d.%d", p.Layer, p.Row, p.Column) }

func kilnPageOf(b *Bench, r *http.Request, s *sheet) (string, any, error) {
	f := s.Form.(*brick.KilnForm)
	temps := make([]string, len(f.Positions))
	for k := range temps {
		temps[k] = "temps[" + strconv.Itoa(k+1) + "]"
	}
	parts := []brickPart{
		{Key: "firing", Paths: []string{"name", "date", "note"}},
		{Key: "wanted", Paths: []string{"thickness", "peak", "soak", "pore_former"}, Step: brick.StepFiring},
		{Key: "log", Paths: []string{"positions"}},
		{Key: "log-lines", List: "rows", Item: "rows", Paths: slices.Concat([]string{"time"}, temps, []string{"fuel", "event"}), Table: true},
	}
	p := kilnPage{sheetPage: sheetPage{b.sheetFrame(r, s), b.sheetGroups(s, parts, burningMix(f))}, Cooling: brick.Cautions(brick.StepUnload, brick.Mix{})}
	for i := range p.Groups[3].Items {
		for k := range f.Positions {
			p.Groups[3].Items[i].Fields[k+1].Own = f.Positions[k]
		}
	}
	firing, err := readKiln(f)
	if plan, ok := planOf(f); ok {
		p.plan(b, plan)
		firing.Plan = plan
	}
	if err == nil && len(firing.Log.Rows) > 1 {
		if report, err := firing.Log.Report(firing.Plan); err == nil {
			p.report(report, firing)
		}
		p.Chart = b.figureOf(figure.Firing(firing.Plan, &firing.Log, b.Catalogue))
	} else if p.Plan != nil {
		p.Chart = b.figureOf(figure.Firing(*p.Plan, nil, b.Catalogue))
	}
	p.kilnMap(b, f, firing)
	p.strip()
	return "bricksfiring", p, nil
}

// burningMix stands for what burns in the bricks, for the cautions.
func burningMix(f *brick.KilnForm) brick.Mix {
	if strings.EqualFold(strings.TrimSpace(f.PoreFormer), "no") {
		return brick.Mix{}
	}
	return brick.Mix{Portions: []brick.Portion{{Ingredient: brick.Ingredient{Kind: "sawdust"}, Mass: 1}}}
}

// planOf plans a firing before anything was logged.
func planOf(f *brick.KilnForm) (brick.Schedule, bool) {
	r := form.Reader{Fields: brick.KilnFields}
	thickness, ok := r.Number("thickness", f.Thickness)
	peak, hot := r.Number("peak", f.Peak)
	soak, _ := r.Number("soak", f.Soak)
	if !ok || !hot || len(r.Complaints) > 0 {
		return brick.Schedule{}, false
	}
	plan, err := brick.FiringWish{Thickness: thickness, Peak: peak, Soak: soak, PoreFormer: len(burningMix(f).Portions) > 0}.Plan()
	return plan, err == nil
}

func (p *kilnPage) plan(b *Bench, plan brick.Schedule) {
	p.Plan, p.Duration = &plan, quantity.Value{SI: plan.Duration(), Unit: quantity.Hour, Step: 1}
	for _, s := range plan.Steps {
		step := kilnStep{From: celsiusOf(s.From), To: celsiusOf(s.To), Duration: hoursOf(s.Duration), Why: s.Why}
		if rate := s.Rate() * 3600; rate != 0 {
			step.Rate = message.T("web.bricks.per-hour", "rate", quantity.Value{SI: rate, Unit: quantity.One, Step: 5})
		}
		p.Steps = append(p.Steps, step)
	}
	for h, kelvin := range plan.Hourly() {
		p.Hourly = append(p.Hourly, kilnHour{h, celsiusOf(kelvin), brick.KilnColour(kelvin)})
	}
	guide, target, guard := brick.ConeTrio(plan.Wish.Peak)
	p.Cones = []string{guide.Name, target.Name, guard.Name}
}

func (p *kilnPage) report(report brick.KilnReport, firing brick.KilnFiring) {
	p.Report = &report
	p.Facts = []brickFact{brickFactOf("web.bricks.peak", message.T("web.bricks.peak-at", "peak", quantity.C(report.Peak), "at", hoursOf(report.PeakAt))),
		brickFactOf("web.bricks.above-850", plainText(hoursOf(report.Above850))),
		brickFactOf("web.bricks.fuel", plainText(kilosOf(report.Fuel)))}
	if len(firing.Log.Positions) > 1 {
		p.Facts = append(p.Facts, brickFactOf("web.bricks.spread", message.T("web.bricks.kelvins", "value", quantity.Value{SI: report.Spread, Unit: quantity.One, Step: 5})))
	}
	for k, place := range firing.Log.Positions {
		p.Facts = append(p.Facts, brickFact{Name: message.T("web.bricks.heat-work", "place", place), Value: plainText(hoursOf(report.HeatWork[k]))})
	}
	for _, pass := range report.Passages {
		p.Passages = append(p.Passages, kilnPassage{pass.Band.Why(), hoursOf(pass.Seconds), hoursOf(pass.Needed), pass.Seconds < 0.9*pass.Needed})
	}
}

// kilnMap shows where the bricks stood, as far as their places are known.
func (p *kilnPage) kilnMap(b *Bench, f *brick.KilnForm, firing brick.KilnFiring) {
	p.Grid = [3]string{"2", "3", "4"}
	if len(f.Bricks) == 0 {
		return
	}
	at := make(map[[3]int]string)
	var size [3]int
	for _, k := range f.Bricks {
		place := [3]int{wholeOr1(k.Layer), wholeOr1(k.Row), wholeOr1(k.Column)}
		verdict := strings.ToLower(strings.TrimSpace(k.Verdict))
		if at[place] != "reject" {
			at[place] = verdict
		}
		for i := range size {
			size[i] = min(kilnMost, max(size[i], place[i]))
		}
		if verdict == "reject" {
			p.Rejects++
		} else {
			p.Good++
		}
	}
	for layer := 1; layer <= size[0]; layer++ {
		l := kilnLayer{Number: layer}
		for row := 1; row <= size[1]; row++ {
			var places []kilnPlace
			for column := 1; column <= size[2]; column++ {
				places = append(places, kilnPlace{layer, row, column, at[[3]int{layer, row, column}]})
			}
			l.Rows = append(l.Rows, places)
		}
		p.Layers = append(p.Layers, l)
	}
	if len(firing.Bricks) == len(f.Bricks) {
		p.Map = b.figureOf(figure.KilnMap(firing.Bricks, b.Catalogue))
		if p.Rejects > 0 {
			p.Places = brick.FollowsPlace(firing.Bricks, seed)
		}
	}
}

// kilnMost is the largest map that is drawn, along each way.
const kilnMost = 30

func wholeOr1(text string) int {
	n, err := strconv.Atoi(strings.TrimSpace(text))
	if err != nil || n < 1 {
		return 1
	}
	return n
}

func (p *kilnPage) strip() {
	if p.Report != nil {
		p.Strip = answerStrip{Short: p.Facts[:2], Facts: p.Facts, Words: p.Report.Findings, More: true}
		return
	}
	if p.Plan == nil {
		return
	}
	p.Strip = answerStrip{Facts: []brickFact{brickFactOf("web.bricks.plan-takes", plainText(p.Duration)), brickFactOf("web.bricks.cones", message.T("web.bricks.cone-trio", "guide", p.Cones[0], "target", p.Cones[1], "guard", p.Cones[2]))}, More: true}
	p.Strip.Short = p.Strip.Facts[:1]
}

// pressKiln does what the buttons of the kiln map say.
func pressKiln(f any, verb, what string, sent func(string) string) bool {
	k := f.(*brick.KilnForm)
	switch verb {
	case "flip":
		place := strings.Split(what, ".")
		if len(place) != 3 {
			return false
		}
		flip(k, place)
	case "fill":
		var size [3]int
		for i, name := range []string{"layers", "rows-across", "columns"} {
			n, err := strconv.Atoi(strings.TrimSpace(sent(name)))
			if err != nil || n < 1 || n > kilnMost {
				return false
			}
			size[i] = n
		}
		k.Bricks = nil
		for layer := 1; layer <= size[0]; layer++ {
			for row := 1; row <= size[1]; row++ {
				for column := 1; column <= size[2]; column++ {
					k.Bricks = append(k.Bricks, brick.PlacedForm{Layer: strconv.Itoa(layer), Row: strconv.Itoa(row), Column: strconv.Itoa(column), Verdict: "good"})
				}
			}
		}
	case "clear":
		k.Bricks = nil
	default:
		return false
	}
	return true
}

// flip turns a place from good to reject to empty and back.
func flip(k *brick.KilnForm, place []string) {
	i := slices.IndexFunc(k.Bricks, func(p brick.PlacedForm) bool {
		return strconv.Itoa(wholeOr1(p.Layer)) == place[0] && strconv.Itoa(wholeOr1(p.Row)) == place[1] && strconv.Itoa(wholeOr1(p.Column)) == place[2]
	})
	switch {
	case i < 0:
		k.Bricks = append(k.Bricks, brick.PlacedForm{Layer: place[0], Row: place[1], Column: place[2], Verdict: "good"})
	case k.Bricks[i].Verdict == "reject":
		k.Bricks = slices.Delete(k.Bricks, i, i+1)
	default:
		k.Bricks[i].Verdict = "reject"
	}
}

func kilnGlance(_ *Bench, _ context.Context, s *sheet) []message.Text {
	f := s.Form.(*brick.KilnForm)
	firing, err := readKiln(f)
	if err == nil {
		if report, err := firing.Log.Report(firing.Plan); err == nil {
			return []message.Text{message.T("web.bricks.glance.firing", "peak", quantity.C(report.Peak), "fuel", kilosOf(report.Fuel))}
		}
	}
	if plan, ok := planOf(f); ok {
		return []message.Text{message.T("web.bricks.glance.plan", "peak", quantity.C(plan.Wish.Peak), "hours", quantity.Value{SI: plan.Duration(), Unit: quantity.Hour, Step: 1})}
	}
	return []message.Text{message.T("web.bricks.glance.unfinished")}
}
