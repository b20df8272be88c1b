package web

import (
	"html/template"
	"math"
	"mime"
	"net/http"
	"slices"
	"strings"

	protocol "stovewright/bench"
	"stovewright/bench/figure"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/workshop"
)

// resultPage is what a test gave, each figure with its equation and how sure it
// is.
type resultPage struct {
	testFrame
	Whole      bool
	Complaints []lack
	Missing    int
	Sure       bool // intervals stand beside the figures
	Figures    []resultFigure
	More       []figurePart
	Parts      []resultPart
	Alarms     []alarmRow
	Standing   message.Text
	Symptoms   []protocol.Symptom
	Safety     *protocol.SafetyScore
	Items      []safetyRating
	Points     template.HTML // drawing of the measuring points
	Evidence   []workshop.Attachment
	Spoiled    bool
}

// lack is a complaint with the way to its entry.
type lack struct {
	*message.InputError
	Name message.Text
	Task string
}

// resultFigure is a result with how it came about.
type resultFigure struct {
	protocol.Step
	U *protocol.Uncertainty // nil where none is worked out
}

// figurePart is the further results of one part of a test.
type figurePart struct {
	Phase   string
	Name    message.Text
	Figures []resultFigure
}

// resultPart is the calculation of one part of a test.
type resultPart struct {
	Phase string
	Name  message.Text
	Steps []protocol.Step
}

// safetyRating is an item of a safety sheet with its rating.
type safetyRating struct {
	protocol.SafetyItem
	Rating int
}

// Origins are what a figure can stand on, for the key to their signs.
func (resultPage) Origins() []protocol.Origin {
	return []protocol.Origin{protocol.Measured, protocol.Asked, protocol.Assumed, protocol.Default, protocol.Yours, protocol.Computed}
}

// Level is the level of the intervals.
func (resultPage) Level() quantity.Value { return quantity.Pct(protocol.DefaultSettings.Level) }

// Low is the lower end of the interval as the result is read.
func (f resultFigure) Low() quantity.Value { return f.end(f.U.Interval.Low) }

// LowNumber is the same without its unit, for before the upper end.
func (f resultFigure) LowNumber() quantity.Value {
	v := f.Low()
	v.Unit.Symbol = ""
	return v
}

// High is the upper end.
func (f resultFigure) High() quantity.Value { return f.end(f.U.Interval.High) }

func (f resultFigure) end(si float64) quantity.Value {
	v := f.Value
	v.SI = si
	return protocol.Shown(f.Key, v)
}

// Headline reports whether the result stands above the others.
func (f resultFigure) Headline() bool { return protocol.Headline(f.ID()) || f.Phase == "" }

func (b *Bench) showResult(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	if err := b.rest(ctx); err != nil {
		return err
	}
	t, err := b.loadTest(ctx, r.PathValue("id"))
	if err != nil {
		return err
	}
	p, err := b.resultPage(t)
	if err != nil {
		return err
	}
	if t.Kind == protocol.KindSafety && p.StoveID != "" {
		if d, err := b.load(ctx, p.StoveID); err == nil && d.Stove != nil {
			p.Points = svgOf(figure.SafetyPoints(d.Stove, b.Catalogue, pictureWidth))
		}
	}
	b.answer(w, r, "testresult", p)
	return nil
}

func (b *Bench) resultPage(t *test) (resultPage, error) {
	p := resultPage{testFrame: b.testFrame(t, "result"), Evidence: t.Head.Attachments}
	file, err := t.compute()
	complaints, isInput := message.Complaints(err)
	if err != nil && !isInput {
		return p, err
	}
	if len(complaints) > 0 {
		p.lacks(t, complaints)
		return p, nil
	}
	p.Whole, p.Standing = true, file.Standing()
	p.Alarms = alarmRows(t, file.Alarms())
	for _, a := range p.Alarms {
		p.Spoiled = p.Spoiled || a.Spoils()
	}
	var sure map[string]protocol.Uncertainty
	if file.HasUncertainty() && !p.Spoiled {
		if sure, err = file.Uncertainties(protocol.DefaultSettings.Level, 0, 0); err != nil {
			b.Log.Warn("uncertainty", "err", err) // the results stand without it
		}
	}
	if file.Boiling != nil && !p.Spoiled {
		if p.Symptoms, err = protocol.Diagnose(file.Boiling.Test); err != nil {
			return p, err
		}
	}
	for _, s := range file.Results() {
		f := resultFigure{Step: s}
		if u, ok := sure[s.ID()]; ok {
			f.U, p.Sure = &u, true
		}
		p.Figures = append(p.Figures, f)
	}
	p.More = furtherFigures(p.Figures)
	p.Parts = resultParts(file.Steps())
	if file.Safety != nil {
		p.Safety = &file.Safety.Score
		for _, item := range protocol.SafetyItems() {
			p.Items = append(p.Items, safetyRating{item, p.Safety.Ratings[item.Key]})
		}
	}
	return p, nil
}

// furtherFigures are the results beside the headlines, part by part.
func furtherFigures(figures []resultFigure) []figurePart {
	var list []figurePart
	for _, f := range figures {
		if f.Headline() {
			continue
		}
		i := slices.IndexFunc(list, func(p figurePart) bool { return p.Phase == f.Phase })
		if i < 0 {
			i, list = len(list), append(list, figurePart{Phase: f.Phase, Name: phaseWords(f.Phase)})
		}
		list[i].Figures = append(list[i].Figures, f)
	}
	return list
}

// resultParts puts the lines of a calculation together by their phase.
func resultParts(steps []protocol.Step) []resultPart {
	var list []resultPart
	for _, s := range steps {
		i := slices.IndexFunc(list, func(p resultPart) bool { return p.Phase == s.Phase })
		if i < 0 {
			list = append(list, resultPart{Phase: s.Phase, Name: phaseWords(s.Phase)})
			i = len(list) - 1
		}
		list[i].Steps = append(list[i].Steps, s)
	}
	return list
}

// phaseWords name a part of a test; of a kitchen test it is the household's code.
func phaseWords(phase string) message.Text {
	switch phase {
	case "", "cold", "hot", "simmer":
		return message.T("bench.phase." + phase)
	case "high", "medium", "low":
		return message.T("web.tests.part." + phase)
	}
	return message.T("web.tests.household", "code", phase)
}

// lacks lists what is missing or wrong, with the way to mend it.
func (p *resultPage) lacks(t *test, complaints message.InputErrors) {
	var tasks []runTask
	if t.Guided() {
		tasks, _ = t.runTasks()
	}
	for _, c := range complaints {
		l := lack{InputError: c, Name: testEntryName(t.Kind, c.Field)}
		for _, task := range tasks {
			if task.has(c.Field) {
				l.Task = task.ID
			}
		}
		if isMissing(c) {
			p.Missing++
		}
		p.Complaints = append(p.Complaints, l)
	}
}

// testEntryName is the name of an entry with the part of the test it is in.
func testEntryName(k protocol.Kind, path string) message.Text {
	f, ok := testField(k, path)
	if !ok {
		return message.T("web.field-unnamed", "path", path)
	}
	first, _, _ := strings.Cut(path, ".")
	switch first {
	case "cold", "hot", "simmer", "high", "medium", "low":
		return message.T("web.tests.of-phase", "what", f.Name(), "phase", phaseWords(first))
	}
	return f.Name()
}

// surePage is how sure one result is, by propagation beside simulation.
type surePage struct {
	testFrame
	Figure      resultFigure
	Lines       []sureLine
	Draws       int
	MonteLow    quantity.Value
	MonteHigh   quantity.Value
	MonteU      quantity.Value
	Own, Shared quantity.Value
	Level       quantity.Value
}

type sureLine struct {
	protocol.UncertaintyLine
	Percent quantity.Value
}

// PhaseWords name the part of the test that the cause is in.
func (l sureLine) PhaseWords() message.Text { return phaseWords(l.Phase) }

// sureDraws is how many draws the simulation makes for a page.
const sureDraws = 10000

func (b *Bench) showSure(w http.ResponseWriter, r *http.Request) error {
	t, err := b.loadTest(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	file, err := t.compute()
	if err != nil {
		return err
	}
	id := r.PathValue("step")
	steps := file.Results()
	i := slices.IndexFunc(steps, func(s protocol.Step) bool { return s.ID() == id })
	if i < 0 || !file.HasUncertainty() {
		return missing()
	}
	settings := protocol.DefaultSettings
	u, err := file.UncertaintyOf(id, settings.Level, sureDraws, settings.Seed)
	if err != nil {
		return err
	}
	f := resultFigure{steps[i], &u}
	as := func(si float64) quantity.Value { return f.end(si) }
	p := surePage{testFrame: b.testFrame(t, "result"), Figure: f, Draws: sureDraws, Level: quantity.Pct(settings.Level),
		MonteLow: as(u.MonteCarlo.Low), MonteHigh: as(u.MonteCarlo.High), MonteU: as(u.MonteCarloU), Own: as(u.Own.SI), Shared: as(u.Shared.SI)}
	for _, l := range u.Lines {
		if l.Share < 0.0005 { // says nothing
			continue
		}
		p.Lines = append(p.Lines, sureLine{l, quantity.Value{SI: l.Share, Unit: quantity.Percent, Step: 0.1}})
	}
	b.show(w, http.StatusOK, "testsure", p)
	return nil
}

// U is the combined standard uncertainty, as the result is read.
func (p surePage) U() quantity.Value { return p.Figure.end(p.Figure.U.U.SI) }

// Contribution of a cause, as the result is read, with two figures.
func (p surePage) Contribution(l sureLine) quantity.Value {
	v := p.Figure.end(l.Contribution.SI)
	if n := math.Abs(v.Unit.Number(v.SI)); n > 0 {
		v.Step = math.Pow(10, math.Floor(math.Log10(n))-1)
	}
	return v
}

// testEvidence gives a file that is attached to a test.
func (b *Bench) testEvidence(w http.ResponseWriter, r *http.Request) error {
	t, err := b.loadTest(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	for _, a := range t.Head.Attachments {
		if a.Name == r.PathValue("name") {
			data, err := b.Workshop.Attachment(r.Context(), a.SHA256)
			if err != nil {
				return err
			}
			w.Header().Set("Content-Type", "application/octet-stream")
			w.Header().Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": a.Name}))
			_, err = w.Write(data)
			return err
		}
	}
	return missing()
}
