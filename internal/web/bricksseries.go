package web

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"sync"

	"stovewright/brick"
	"stovewright/message"
	"stovewright/quantity"
)

// seriesPaper is a series of trials: the materials, the goal, the trials.
var seriesPaper = &brickPaper{
	Key: brick.SeriesPaper, fields: brick.SeriesFields, example: "light-lining.yaml",
	lists: []string{"materials", "trials", "trials.bricks"},
	parse: parser(brick.ParseSeries),
	begin: func(c *message.Catalogue) any {
		return &brick.SeriesForm{Materials: []brick.MaterialForm{
			{Name: c.S("web.bricks.word.clay"), Kind: "clay"}, {Name: c.S("web.bricks.word.sawdust"), Kind: "sawdust"}}}
	},
	settle: func(f any) { alignMixes(f.(*brick.SeriesForm)) },
	read:   func(f any) (any, error) { return readSeries(f.(*brick.SeriesForm)) },
	renamed: func(f any, path, text string) {
		renameMaterial(f.(*brick.SeriesForm), path, text)
	},
	clean: func(f any) any { return withoutBlanks(*f.(*brick.SeriesForm)) },
}

func init() {
	seriesPaper.page, seriesPaper.glance, seriesPaper.do = seriesPageOf, seriesGlance, seriesDo
	seriesPaper.from = seriesFrom
}

// seriesFrom fills a new series from a clay card, and goes on at its materials.
func seriesFrom(b *Bench, r *http.Request, f any) (string, error) {
	id := r.PostFormValue("clay")
	if id == "" {
		return queryOf("part", "materials"), nil
	}
	card, err := b.loadSheet(r.Context(), clayPaper, id)
	if err != nil {
		return "", err
	}
	f.(*brick.SeriesForm).Materials[0].Name = card.Name()
	return queryOf("part", "materials"), nil
}

// lineName is how the mixes call material k: by its name, with its number where
// an earlier one has the same, so that two that are alike while one is being
// renamed stay apart.
func lineName(materials []brick.MaterialForm, k int) string {
	for _, m := range materials[:k] {
		if m.Name == materials[k].Name {
			return materials[k].Name + " (" + strconv.Itoa(k+1) + ")"
		}
	}
	return materials[k].Name
}

// renameMaterial makes the mixes follow a material that gets another name.
func renameMaterial(f *brick.SeriesForm, path, text string) {
	m := itemPath.FindStringSubmatch(path)
	if m == nil || m[1] != "materials" || m[3] != ".name" {
		return
	}
	k, _ := strconv.Atoi(m[2])
	if k < 1 || k > len(f.Materials) {
		return
	}
	was := make(map[string]int)
	for i := range f.Materials {
		was[lineName(f.Materials, i)] = i
	}
	renamed := slices.Clone(f.Materials)
	renamed[k-1].Name = text
	for t := range f.Trials {
		for i, line := range f.Trials[t].Mix {
			if j, ok := was[line.Material]; ok {
				f.Trials[t].Mix[i].Material = lineName(renamed, j)
			}
		}
	}
}

// alignMixes gives every trial a line for each material, in their order, so that
// the page has a field for each; lines of no known material stay behind them.
func alignMixes(f *brick.SeriesForm) {
	for t := range f.Trials {
		var aligned []brick.AmountForm
		rest := slices.Clone(f.Trials[t].Mix)
		for k := range f.Materials {
			name := lineName(f.Materials, k)
			line := brick.AmountForm{Material: name}
			if i := slices.IndexFunc(rest, func(a brick.AmountForm) bool { return a.Material == name }); i >= 0 {
				line = rest[i]
				rest = slices.Delete(rest, i, i+1)
			}
			aligned = append(aligned, line)
		}
		f.Trials[t].Mix = append(aligned, rest...)
	}
}

func blank(text ...string) bool { return strings.TrimSpace(strings.Join(text, "")) == "" }

// withoutBlanks is a series as its file has it: without lines of a mix in which
// nothing stands.
func withoutBlanks(f brick.SeriesForm) *brick.SeriesForm {
	f.Trials = slices.Clone(f.Trials)
	for t := range f.Trials {
		f.Trials[t].Mix = slices.DeleteFunc(slices.Clone(f.Trials[t].Mix), func(a brick.AmountForm) bool { return blank(a.Amount, a.Moisture) })
		if len(f.Trials[t].Mix) == 0 {
			f.Trials[t].Mix = nil
		}
	}
	return &f
}

// readSeries reads a series as far as it is filled in: materials and lines of a
// mix in which nothing stands are left out, and the complaints lead to their
// places on the page.
func readSeries(f *brick.SeriesForm) (brick.Series, error) {
	filled := *f
	var kept []int
	filled.Materials = nil
	for k, m := range f.Materials {
		if m != (brick.MaterialForm{}) {
			filled.Materials, kept = append(filled.Materials, m), append(kept, k+1)
		}
	}
	filled.Trials = slices.Clone(f.Trials)
	lines := make([][]int, len(f.Trials))
	for t := range f.Trials {
		filled.Trials[t].Mix = nil
		for i, a := range f.Trials[t].Mix {
			if !blank(a.Amount, a.Moisture) {
				filled.Trials[t].Mix, lines[t] = append(filled.Trials[t].Mix, a), append(lines[t], i+1)
			}
		}
	}
	s, err := filled.Read()
	complaints, _ := message.Complaints(err)
	for _, c := range complaints {
		c.Field = seriesPlace(c.Field, kept, lines)
	}
	if len(s.Stocks) == 0 { // an empty sheet
		return s, complaints
	}
	return s, complaints.OrNil()
}

// seriesPlace turns the path of a complaint into that of the field on the page.
func seriesPlace(path string, materials []int, lines [][]int) string {
	m := itemPath.FindStringSubmatch(path)
	if m == nil {
		return path
	}
	n, _ := strconv.Atoi(m[2])
	switch {
	case m[1] == "materials" && n >= 1 && n <= len(materials):
		return fmt.Sprintf("materials[%d]%s", materials[n-1], m[3])
	case m[1] == "trials" && strings.HasPrefix(m[3], ".mix["):
		inner := itemPath.FindStringSubmatch(m[3][1:])
		if inner == nil || n > len(lines) {
			return path
		}
		if k, _ := strconv.Atoi(inner[2]); k >= 1 && k <= len(lines[n-1]) {
			return fmt.Sprintf("trials[%d].mix[%d]%s", n, lines[n-1][k-1], inner[3])
		}
	}
	return path
}

// series is a sheet that has been read, with what can be learnt from it.
type series struct {
	*sheet
	Form   *brick.SeriesForm
	Read   brick.Series
	Ready  bool  // the materials are known
	Usable []int // trials without a complaint, counted from nought
}

func seriesOf(s *sheet) series {
	v := series{sheet: s, Form: s.Form.(*brick.SeriesForm)}
	v.Read = s.Value.(brick.Series)
	v.Ready = len(v.Read.Stocks) > 0 && !s.complains("materials") && v.Read.Goal.Bounds.Low != nil
	for i := range v.Read.Trials {
		if !s.complains(trialPath(i)+".") && len(v.Read.Trials[i].Mix.Portions) > 0 {
			v.Usable = append(v.Usable, i)
		}
	}
	return v
}

func trialPath(i int) string { return "trials[" + strconv.Itoa(i+1) + "]" }

// trials are the usable ones, but for one (-1 for none left out), with where
// each stands in the form.
func (s series) trials(without int) (list []brick.Trial, at []int) {
	for _, i := range s.Usable {
		if i != without {
			list, at = append(list, s.Read.Trials[i]), append(at, i)
		}
	}
	return list, at
}

// measuredTrials counts the usable trials with a fired brick.
func (s series) measuredTrials() (n int) {
	for _, i := range s.Usable {
		if s.Read.Trials[i].Outcome().N > 0 {
			n++
		}
	}
	return n
}

// beliefShelf keeps what was learnt from series that are being looked at: each
// key in one trial asks anew what the others say.
type beliefShelf struct {
	sync.Mutex
	known map[[sha256.Size]byte]*brick.Belief
}

// shelfRoom is how many are kept.
const shelfRoom = 32

// seed makes what is drawn at random the same each time.
const seed = 1

// belief is what the trials of a series say, but for one of them (-1 for none
// left out). A clay card by the name of a material narrows what is thought of it.
func (b *Bench) belief(ctx context.Context, s series, without int) (*brick.Belief, error) {
	stocks, forming, _ := b.withCards(ctx, s)
	trials, _ := s.trials(without)
	key, err := beliefKey(stocks, forming, s.Form, trials)
	if err != nil {
		return nil, err
	}
	shelf := &b.beliefs
	shelf.Lock()
	defer shelf.Unlock()
	if known := shelf.known[key]; known != nil {
		return known, nil
	}
	belief, err := brick.Update(stocks, forming, trials, seed)
	if err != nil {
		return nil, err
	}
	if shelf.known == nil || len(shelf.known) >= shelfRoom {
		shelf.known = make(map[[sha256.Size]byte]*brick.Belief)
	}
	shelf.known[key] = belief
	return belief, nil
}

// beliefKey tells apart what a belief is made from. Pores are left out: they
// follow from the form.
func beliefKey(stocks []brick.Stock, forming brick.FormingData, f *brick.SeriesForm, trials []brick.Trial) ([sha256.Size]byte, error) {
	bare := slices.Clone(trials)
	for t := range bare {
		bare[t].Bricks = slices.Clone(bare[t].Bricks)
		for i := range bare[t].Bricks {
			bare[t].Bricks[i].Pores = nil
		}
	}
	data, err := json.Marshal([]any{stocks, forming, f.Scale, f.Calliper, bare})
	return sha256.Sum256(data), err
}

// withCards narrows the stocks and the forming of a series by the clay cards
// that have the name of one of its materials; those are returned too.
func (b *Bench) withCards(ctx context.Context, s series) (stocks []brick.Stock, forming brick.FormingData, used []*sheet) {
	stocks, forming = slices.Clone(s.Read.Stocks), brick.FormingDefaults()
	cards, err := b.sheets(ctx, clayPaper)
	if err != nil {
		return stocks, forming, nil
	}
	for k, stock := range stocks {
		if stock.Key != "clay" {
			continue
		}
		for _, c := range cards {
			if c.broken != nil || !strings.EqualFold(strings.TrimSpace(c.Name()), stock.Name) {
				continue
			}
			card := c.Value.(brick.ClayCard)
			if !stock.Loss.Fixed() {
				stocks[k].Loss = card.Stock().Loss
			}
			forming = card.Forming(forming)
			used = append(used, c)
			break
		}
	}
	return stocks, forming, used
}

// trialRow is a trial on the list of a series.
type trialRow struct {
	Number    int
	Name      string
	Date      string
	Mix       []message.Text
	Foretold  message.Text // fired density, as a band
	Measured  message.Text
	Shrinkage message.Text
	Crushed   message.Text
	Verdict   message.Text
	Wrong     int // complaints
}

type seriesPage struct {
	sheetPage
	Part   string
	Ready  bool
	Rows   []trialRow
	Cards  []*sheet
	Strip  answerStrip
	Remark []message.Text
}

func seriesPageOf(b *Bench, r *http.Request, s *sheet) (string, any, error) {
	switch r.URL.Query().Get("part") {
	case "materials":
		return materialsPageOf(b, r, s)
	case "trial":
		return trialPageOf(b, r, s)
	case "next":
		return nextPageOf(b, r, s)
	}
	return trialsPageOf(b, r, s)
}

var (
	materialParts = []brickPart{
		{Key: "series", Paths: []string{"name", "note", "scale", "calliper"}},
		{Key: "materials", List: "materials", Item: "materials", Paths: []string{"name", "kind", "tin", "moisture", "sieve"},
			More: []string{"loss", "grain", "price"}, Step: brick.StepSieving},
	}
)

func materialsPageOf(b *Bench, r *http.Request, s *sheet) (string, any, error) {
	v := seriesOf(s)
	p := seriesPage{sheetPage: sheetPage{b.sheetFrame(r, s), b.sheetGroups(s, materialParts, allOf(v.Read.Stocks))}, Part: "materials", Ready: v.Ready}
	p.Groups[1].Cautions = append(p.Groups[1].Cautions, brick.CementCaution()) // before somebody lists it
	_, _, p.Cards = b.withCards(r.Context(), v)
	for i, stock := range v.Read.Stocks {
		in := stock.Ingredient()
		p.Strip.Facts = append(p.Strip.Facts, brickFact{Name: message.T("web.bricks.own-name", "name", orUnnamed(b, stock.Name)),
			Value: message.T("web.bricks.stock", "moisture", percentOf(in.Moisture), "loss", percentOf(in.Loss))})
		if s.Complaints == nil && v.Read.Tins[i] > 0 {
			p.Strip.Facts[i].Note = message.T("web.bricks.tin-is", "tin", gramsOf(v.Read.Tins[i]))
		}
	}
	p.Strip.Short = p.Strip.Facts[:min(2, len(p.Strip.Facts))]
	return "bricksmaterials", p, nil
}

func orUnnamed(b *Bench, name string) string {
	if strings.TrimSpace(name) == "" {
		return b.Catalogue.S("web.bricks.unnamed")
	}
	return name
}

// allOf is a mix with a little of every stock, for its cautions.
func allOf(stocks []brick.Stock) (m brick.Mix) {
	for _, s := range stocks {
		m.Portions = append(m.Portions, brick.Portion{Ingredient: s.Ingredient(), Mass: 1})
	}
	return m
}

func trialsPageOf(b *Bench, r *http.Request, s *sheet) (string, any, error) {
	v := seriesOf(s)
	p := seriesPage{sheetPage: sheetPage{b.sheetFrame(r, s), nil}, Part: "trials", Ready: v.Ready, Remark: v.Read.Remarks}
	for i := range v.Read.Trials {
		p.Rows = append(p.Rows, b.trialRow(r.Context(), v, i))
	}
	return "bricksseries", p, nil
}

func (b *Bench) trialRow(ctx context.Context, v series, i int) trialRow {
	t := v.Read.Trials[i]
	row := trialRow{Number: i + 1, Name: v.Form.Trials[i].Name, Date: v.Form.Trials[i].Date}
	for _, p := range t.Mix.Portions {
		row.Mix = append(row.Mix, message.T("web.bricks.portion", "name", p.Ingredient.Name, "mass", gramsOf(p.Mass)))
	}
	row.Mix = append(row.Mix, message.T("web.bricks.portion-water", "mass", gramsOf(t.Mix.Water)))
	for _, c := range v.Complaints {
		if strings.HasPrefix(c.Field, trialPath(i)+".") {
			row.Wrong++
		}
	}
	if !v.Ready || !slices.Contains(v.Usable, i) {
		return row
	}
	outcome := t.Outcome()
	if belief, err := b.belief(ctx, v, i); err == nil {
		if pr, err := belief.Predict(t.Mix, seed); err == nil {
			row.Foretold = bandText(pr.Fired, densityOf)
			if outcome.N > 0 {
				row.Verdict = comparison(outcome.Density.Value, pr.Fired)
			}
		}
	}
	if outcome.N > 0 {
		row.Measured = measuredText(outcome.Density)
	}
	if !math.IsNaN(outcome.Total) {
		row.Shrinkage = plainText(percentOf(outcome.Total))
	}
	if !math.IsNaN(outcome.Strength) {
		row.Crushed = plainText(mpaOf(outcome.Strength))
	}
	return row
}

// measuredText is a measured density with twice its standard uncertainty, not
// finer than what the density is shown to.
func measuredText(r brick.Reading) message.Text {
	if !(r.U > 0) {
		return plainText(densityOf(r.Value))
	}
	return message.T("web.bricks.measured", "value", bare(densityOf(r.Value)), "u", densityOf(max(2*r.U, 10)))
}

// comparison says how what was measured lies to what was foretold.
func comparison(v float64, foretold brick.Band) message.Text {
	switch {
	case v < foretold.Low:
		return message.T("web.bricks.lighter-than-foretold")
	case v > foretold.High:
		return message.T("web.bricks.heavier-than-foretold")
	}
	return message.T("web.bricks.as-foretold")
}

func seriesGlance(_ *Bench, _ context.Context, s *sheet) []message.Text {
	v := seriesOf(s)
	lines := []message.Text{message.T("web.bricks.glance.trials", "n", len(v.Read.Trials), "measured", v.measuredTrials())}
	best := math.Inf(1)
	for _, i := range v.Usable {
		if o := v.Read.Trials[i].Outcome(); o.N > 0 {
			best = math.Min(best, o.Density.Value)
		}
	}
	if !math.IsInf(best, 1) {
		lines = append(lines, message.T("web.bricks.glance.lightest", "density", densityOf(best)))
	}
	return lines
}

// freshTrial is the next empty trial: named, with three bricks to be marked.
func freshTrial(f *brick.SeriesForm) brick.TrialForm {
	number := len(f.Trials) + 1
	taken := func(name string) bool {
		return slices.ContainsFunc(f.Trials, func(t brick.TrialForm) bool { return t.Name == name })
	}
	for taken("T" + strconv.Itoa(number)) {
		number++
	}
	return brick.TrialForm{Name: "T" + strconv.Itoa(number), Bricks: []brick.BrickForm{{Mark: "a"}, {Mark: "b"}, {Mark: "c"}}}
}

// writeMix puts a mix into a trial, in grams.
func writeMix(t *brick.TrialForm, m brick.Mix) {
	t.Mix = nil
	for _, p := range m.Portions {
		t.Mix = append(t.Mix, brick.AmountForm{Material: p.Ingredient.Name, Amount: gramText(p.Mass)})
		if p.Weighed {
			t.Mix[len(t.Mix)-1].Moisture = strconv.FormatFloat(100*p.Ingredient.Moisture, 'f', -1, 64) + " %"
		}
	}
	t.Water = gramText(m.Water)
}

func gramText(kg float64) string { return strconv.FormatFloat(math.Round(kg*1000), 'f', 0, 64) + " g" }

// seriesDo does what the buttons of a series say.
func seriesDo(b *Bench, r *http.Request, s *sheet) (string, error) {
	v := seriesOf(s)
	verb, what, _ := strings.Cut(r.PostFormValue("do"), ":")
	n, _ := strconv.Atoi(what)
	f := v.Form
	switch verb {
	case "trial":
		f.Trials = append(f.Trials, freshTrial(f))
	case "again": // the same mix once more tells the scatter
		if n < 1 || n > len(f.Trials) {
			return "", missing()
		}
		t := freshTrial(f)
		t.Mix, t.Water = slices.Clone(f.Trials[n-1].Mix), f.Trials[n-1].Water
		f.Trials = append(f.Trials, t)
	case "drop":
		if n < 1 || n > len(f.Trials) {
			return "", missing()
		}
		f.Trials = slices.Delete(f.Trials, n-1, n)
		return "", nil
	case "first":
		mixes, err := firstMixes(v)
		if err != nil {
			return "", err
		}
		for _, m := range mixes {
			t := freshTrial(f)
			writeMix(&t, m)
			f.Trials = append(f.Trials, t)
		}
		return "", nil
	case "next":
		next, err := b.next(r.Context(), v)
		if err != nil {
			return "", err
		}
		t := freshTrial(f)
		writeMix(&t, next.Mix)
		if next.Kelvin > 0 { // wanted, not measured: no entry of the trial
			t.Note = b.Catalogue.S("web.bricks.fire-at", "peak", quantity.C(next.Kelvin))
		}
		f.Trials = append(f.Trials, t)
	case "change":
		if err := b.writeChange(r, v, what); err != nil {
			return "", err
		}
	default:
		return "", missing()
	}
	alignMixes(f)
	return queryOf("part", "trial", "n", strconv.Itoa(len(f.Trials))), nil
}

// firstMixes are the mixes to begin with: one for each material, one in
// between, and one of them twice.
func firstMixes(v series) ([]brick.Mix, error) {
	if !v.Ready || !v.Read.CanSeek() {
		return nil, message.InputErrors{{Field: "materials", Reason: message.T("brick.next.bounds"), Try: "40 %"}}
	}
	return brick.FirstTrials(v.Read.Stocks, v.Read.Goal, len(v.Read.Stocks)+2, seed)
}
