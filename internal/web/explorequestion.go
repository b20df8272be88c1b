package web

import (
	"context"
	"encoding/json"
	"math"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"stovewright/explore"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/workshop"
)

// studyPage is a question that takes long: its settings, and what its last study
// says.
type studyPage struct {
	exploreFrame
	Settings []fireField
	Folded   []fireField // settings that few people need
	Unfold   bool        // something is wrong or written in one of them
	Wrong    message.InputErrors
	Goals    []goalChoice  // of a search
	Holds    []holdChoice  // of a search
	Stoves   []stoveChoice // of the question about pots
	Tests    []testChoice  // of the question about tests
	Study    *studyView    // nil while none was asked
	Earlier  []earlier
	Gone     []earlier
}

// Unable reports whether the question cannot be asked at all.
func (p studyPage) Unable() bool {
	usable := func(t testChoice) bool { return t.Why.ID == "" }
	return p.Question == "learn" && !slices.ContainsFunc(p.Tests, usable)
}

// earlier is another study of the same question.
type earlier struct {
	ID string
	At workshop.Revision
}

// studyView is a study with its answer.
type studyView struct {
	asked
	Path      string
	Left      quantity.Value // time
	Changed   bool           // what it was asked of is no longer so
	Unread    bool           // this program cannot read it
	Answer    hasAnswer      // nil where it cannot be read, or waits
	Waits     bool           // the answer takes a while: the script asks for it when the page stands
	Marked    int            // the design that is looked at
	Applied   bool
	Beside    bool // a design can be put beside the stove, which burns
	NextTests int
	Next      *nextView
}

// HasPart reports whether there is something to show before the study is done.
func (v studyView) HasPart() bool {
	return v.Answer != nil && len(v.Answer.common().Says) > 0
}

// WhyPath is the page that says why a design differs from the stove.
func (v studyView) WhyPath(n int) string {
	return "/stove/" + v.Doc.Stove + "/explore/why?now=yes&against=" + v.ID + ":" + strconv.Itoa(n)
}

// TestsReady is how many tests of each stove somebody is ready to do.
func (v studyView) TestsReady() int {
	if v.NextTests > 0 {
		return v.NextTests
	}
	return usualTests
}

// usualTests is how many tests of a stove a published series has at least.
const usualTests = 3

// Count counts from one.
func (studyView) Count(i int) int { return i + 1 }

// Pot is a pot by its name, or words for one without.
func (studyView) Pot(name string) any {
	if name == "" {
		return message.T("explore.the-pot")
	}
	return name
}

// Again is after how many milliseconds the page asks how far the study is.
func (v studyView) Again() int {
	if v.Waits {
		return 0
	}
	return 1000
}

// Pictures are those of the answer; the design that is looked at is marked in all.
func (v studyView) Pictures() []*pictured {
	list, d := v.Answer.common().Pictures, v.Design()
	if d == nil {
		return list
	}
	marked := make([]*pictured, len(list))
	for i, p := range list {
		marked[i] = p.marking(d.Key)
	}
	return marked
}

// Design is the design that is looked at; nil where there is none.
func (v studyView) Design() *foundDesign {
	a, ok := v.Answer.(*searchAnswer)
	if !ok || v.Marked < 1 || v.Marked > len(a.Designs) {
		return nil
	}
	return &a.Designs[v.Marked-1]
}

// showQuestion shows the page of a question: its settings, and the study that is
// named or the last one.
func (b *Bench) showQuestion(w http.ResponseWriter, r *http.Request) error {
	q, ok := questionOf(r.PathValue("question"))
	if !ok {
		return missing()
	}
	d, frame, subject, err := b.openExplore(r, q.key)
	if err != nil {
		return err
	}
	sent := r.URL.Query()
	now := scripted(r) || sent.Has("now") || sent.Has("tests")
	p, err := b.studyPage(r.Context(), q, d, frame, subject, sent.Get("study"), now)
	if err != nil {
		return err
	}
	if p.Study != nil {
		if n, err := strconv.Atoi(sent.Get("design")); err == nil {
			p.Study.Marked = n
		}
		p.Study.Applied = sent.Has("applied")
		if n, err := strconv.Atoi(sent.Get("tests")); err == nil && q.key == "learn" {
			if err := b.lookAhead(p.Study, d, n); err != nil {
				return err
			}
		}
	}
	if scripted(r) && sent.Has("study") {
		b.render(w, http.StatusOK, "explorestudy", "study", p)
		return nil
	}
	b.answer(w, r, "explorestudy", p)
	return nil
}

// studyPage builds the page of a question.
func (b *Bench) studyPage(ctx context.Context, q question, d *design, frame exploreFrame, subject explore.Subject, id string, now bool) (studyPage, error) {
	p := studyPage{exploreFrame: frame}
	if d.Stove == nil {
		return p, nil
	}
	list, err := b.studiesOf(ctx, d.ID, q.key, false)
	if err != nil {
		return p, err
	}
	if id == "" && len(list) > 0 {
		id = list[0].ID
	}
	var settings map[string]string
	if id != "" {
		if p.Study, err = b.studyView(ctx, q, d, subject, id, now); err != nil {
			return p, err
		}
		settings, p.Study.Beside = p.Study.Doc.Settings, p.Burns()
	}
	for _, rec := range list {
		if rec.ID != id {
			p.Earlier = append(p.Earlier, earlier{rec.ID, rec.Head})
		}
	}
	gone, err := b.studiesOf(ctx, d.ID, q.key, true)
	if err != nil {
		return p, err
	}
	for _, rec := range gone[:min(len(gone), shownGone)] {
		p.Gone = append(p.Gone, earlier{rec.ID, rec.Head})
	}
	if !p.Asks() { // what was asked before stays, and nothing can be asked anew
		return p, nil
	}
	return p, b.settings(ctx, &p, q, d, settings, nil)
}

// shownGone is how many deleted studies can be brought back from the page.
const shownGone = 5

// settings puts the form of a question on its page.
func (b *Bench) settings(ctx context.Context, p *studyPage, q question, d *design, sent map[string]string, wrong message.InputErrors) (err error) {
	p.Settings, p.Folded = b.askFields(q, d, sent, wrong)
	p.Unfold = slices.ContainsFunc(wrong, func(c *message.InputError) bool { return c.Reason.ID == "web.explore.cost-needs-prices" }) // they are folded away
	for _, f := range p.Folded {
		p.Unfold = p.Unfold || f.Error != nil || f.Text != ""
	}
	shown := map[string]bool{}
	for _, f := range q.fields {
		shown[f.Path] = true
	}
	for _, c := range wrong {
		if !shown[c.Field] && !strings.HasPrefix(c.Field, "meals.") && !strings.HasPrefix(c.Field, "stove.") {
			p.Wrong = append(p.Wrong, c)
		}
	}
	switch q.key {
	case "search":
		p.Goals, p.Holds = goalChoices(d.Stove, sent), holdChoices(d.Stove, sent)
	case "pots":
		p.Stoves, err = b.potChoices(ctx, d, sent, wrong)
	case "learn":
		p.Tests, err = b.testChoices(ctx, d, sent)
	}
	return err
}

// studyView reads a study with its answer so far; one that takes long only where
// it is wanted now.
func (b *Bench) studyView(ctx context.Context, q question, d *design, subject explore.Subject, id string, now bool) (*studyView, error) {
	a, err := b.loadStudy(ctx, id)
	if err != nil {
		return nil, err
	}
	if a.Doc.Question != q.key || a.Doc.Stove != d.ID {
		return nil, missing()
	}
	v := &studyView{asked: a, Path: "/stove/" + d.ID + "/explore/" + q.key, Left: quantity.Value{SI: math.Ceil(a.Progress.Left.Seconds()), Unit: quantity.Second, Step: 1}}
	if v.Left.SI >= 90 {
		v.Left = minutes(v.Left.SI)
	}
	key, err := b.keyOf(ctx, q, d, subject, a.Doc.Settings)
	if err != nil {
		return nil, err
	}
	v.Changed = key != a.Doc.Of
	if q.slow && !now && a.Doc.Shape == shapeOf(q.empty()) {
		v.Answer = b.studies.known(a)
		v.Waits = v.Answer == nil
		return v, nil
	}
	v.Answer, err = b.studies.answerOf(a, func(s explore.Study) (hasAnswer, error) { return q.answer(b, s) })
	if err != nil { // of another version of the program, or damaged
		b.Log.Warn("study not read", "record", id, "err", err)
		v.Unread, v.Answer = true, nil
	}
	if found, ok := v.Answer.(*searchAnswer); ok {
		v.Marked = found.Best
	}
	return v, nil
}

// startStudy asks a question with the settings of the form.
func (b *Bench) startStudy(w http.ResponseWriter, r *http.Request) error {
	q, ok := questionOf(r.PathValue("question"))
	if !ok {
		return missing()
	}
	if err := r.ParseForm(); err != nil {
		return err
	}
	d, frame, subject, err := b.openExplore(r, q.key)
	if err != nil {
		return err
	}
	ctx, settings := r.Context(), settingsOf(r.PostForm)
	if !frame.Asks() {
		return b.redirect(w, r, frame.Path(q.key))
	}
	id, err := b.beginStudy(ctx, q, d, subject, settings)
	if complaints, ok := message.Complaints(err); ok {
		p, err := b.studyPage(ctx, q, d, frame, subject, "", false)
		if err != nil {
			return err
		}
		p.Wrong = nil
		if err := b.settings(ctx, &p, q, d, settings, complaints); err != nil {
			return err
		}
		b.show(w, http.StatusUnprocessableEntity, "explorestudy", p)
		return nil
	}
	if err != nil {
		return err
	}
	return b.redirect(w, r, frame.Path(q.key)+"?study="+id+"#study")
}

func (b *Bench) redirect(w http.ResponseWriter, r *http.Request, path string) error {
	http.Redirect(w, r, path, http.StatusSeeOther)
	return nil
}

// beginStudy makes the record of a study and sets it to work.
func (b *Bench) beginStudy(ctx context.Context, q question, d *design, subject explore.Subject, settings map[string]string) (string, error) {
	s, err := b.ask(ctx, q, d, subject, settings)
	if err == nil {
		err = s.Open()
	}
	if err != nil {
		return "", err
	}
	doc := studyDoc{Question: q.key, Stove: d.ID, Settings: settings}
	if doc.Of, err = b.keyOf(ctx, q, d, subject, settings); err != nil {
		return "", err
	}
	if doc, err = doc.with(s); err != nil {
		return "", err
	}
	data, err := json.Marshal(doc)
	if err != nil {
		return "", err
	}
	rev, err := b.Workshop.Save(ctx, workshop.Edit{Kind: studyKind, Name: studyName(d.ID, q.key), Content: data, By: b.by(ctx, "")})
	if err != nil {
		return "", err
	}
	return rev.Record, b.launch(rev.Record, doc)
}

// changeStudy stops a study, lets it go on, puts it away or brings it back, and
// takes something out of its answer.
func (b *Bench) changeStudy(w http.ResponseWriter, r *http.Request) error {
	q, ok := questionOf(r.PathValue("question"))
	if !ok {
		return missing()
	}
	ctx, id, back := r.Context(), r.PathValue("study"), "/stove/"+r.PathValue("id")+"/explore/"+q.key
	if r.PathValue("do") == "undelete" {
		_, err := b.Workshop.Undelete(ctx, id, b.by(ctx, ""))
		if err != nil {
			return err
		}
		return b.redirect(w, r, back+"?study="+id+"#study")
	}
	d, _, subject, err := b.openExplore(r, q.key)
	if err != nil {
		return err
	}
	do := r.PathValue("do")
	v, err := b.studyView(ctx, q, d, subject, id, do == "apply")
	if err != nil {
		return err
	}
	switch do {
	case "stop":
		b.studies.halt(id)
	case "go":
		switch {
		case v.Unread:
			err = missing()
		case v.State != studyDone:
			err = b.launch(id, v.Doc)
		}
	case "delete":
		if err := b.deleteStudy(ctx, v); err != nil {
			return err
		}
		return b.redirect(w, r, back)
	case "open":
		return b.openFound(w, r, d, v)
	case "apply":
		return b.applyLearnt(w, r, d, v)
	default:
		err = missing()
	}
	if err != nil {
		return err
	}
	return b.redirect(w, r, back+"?study="+id+"#study")
}

// deleteStudy puts a study away, with what it was doing.
func (b *Bench) deleteStudy(ctx context.Context, v *studyView) error {
	b.studies.halt(v.ID)
	rec, err := b.Workshop.Get(ctx, v.ID)
	if err != nil {
		return err
	}
	if _, err := b.Workshop.Delete(ctx, v.ID, rec.Head.ID, b.by(ctx, "")); err != nil {
		return err
	}
	s, err := v.Doc.open()
	if err != nil { // one that cannot be read has nothing beside its record that could be found
		return b.forgetState(ctx, v.ID)
	}
	return b.dropStudy(ctx, v.ID, s)
}

// openFound makes a new stove of a design that was found, or of one of a set for
// several pots.
func (b *Bench) openFound(w http.ResponseWriter, r *http.Request, d *design, v *studyView) error {
	n, _ := strconv.Atoi(r.PostFormValue("design"))
	form, ok := v.form(n, r.PostFormValue("of"))
	if !ok {
		return missing()
	}
	form.Name = b.Catalogue.S("web.explore.found-name", "name", d.Form.Name, "n", n)
	next, err := b.begin(r.Context(), form, "")
	if err != nil {
		return err
	}
	if err := b.copyFire(r.Context(), d.ID, next); err != nil {
		return err
	}
	return b.redirect(w, r, "/stove/"+next.ID)
}

// studyFile gives the pictures and the answer of a study to keep.
func (b *Bench) studyFile(w http.ResponseWriter, r *http.Request) error {
	q, ok := questionOf(r.PathValue("question"))
	if !ok {
		return missing()
	}
	d, _, subject, err := b.openExplore(r, q.key)
	if err != nil {
		return err
	}
	v, err := b.studyView(r.Context(), q, d, subject, r.PathValue("study"), true)
	if err != nil {
		return err
	}
	answer := v.Answer
	if answer == nil {
		return missing()
	}
	name, format, _ := strings.Cut(r.PathValue("name"), ".")
	file := fileName(d.Form.Name, q.key+"-"+name+"."+format)
	switch {
	case name == "answer" && format == "json":
		data, err := json.MarshalIndent(studyExport{q.key, true, b.say(answer.common().Says), v.Doc.Finished, v.Doc.Study}, "", " ")
		if err != nil {
			return err
		}
		download(w, "application/json", file, data)
		return nil
	case name == "answer" && format == "txt":
		lines := slices.Concat([]string{d.Form.Name, b.Catalogue.S("web.explore.note")}, b.say(answer.common().Says), b.say(answer.common().Kept))
		download(w, "text/plain; charset=utf-8", file, []byte(strings.Join(lines, "\n")+"\n"))
		return nil
	}
	sheet := answer.common().sheet(name, b.Catalogue)
	if sheet == nil {
		return missing()
	}
	return downloadSheet(w, sheet, format, file)
}

// studyExport is the answer of a study as it is given out, with the study itself.
type studyExport struct {
	Question string          `json:"question"`
	Computed bool            `json:"computed"` // never measured
	Says     []string        `json:"says"`
	Finished bool            `json:"finished"`
	Study    json.RawMessage `json:"study"`
}

// say puts sentences into words.
func (b *Bench) say(list []message.Text) []string {
	words := make([]string, len(list))
	for i, t := range list {
		words[i] = b.Catalogue.Say(t)
	}
	return words
}
