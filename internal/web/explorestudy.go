package web

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"reflect"
	"runtime"
	"slices"
	"sync"
	"time"

	"stovewright/explore"
	"stovewright/message"
	"stovewright/study"
	"stovewright/workshop"
)

// studyKind is the kind of the records that hold what was asked of a long study
// and how far it is.
const studyKind = "study"

// studyDoc is the document of such a record. It holds the study itself, with the
// stove as it was when it was asked: from here the study goes on to the same end
// whatever became of the stove.
type studyDoc struct {
	Question string            `json:"question"`
	Stove    string            `json:"stove"`              // record of the stove
	Settings map[string]string `json:"settings,omitempty"` // as they were written
	Of       string            `json:"of"`                 // what it was asked of: see [question]
	Done     int               `json:"done"`
	Total    int               `json:"total"`
	Finished bool              `json:"finished"`
	Says     []string          `json:"says,omitempty"` // what it said when it was last put down
	Shape    string            `json:"shape"`          // of the study: see [shapeOf]
	Study    json.RawMessage   `json:"study"`
}

// errShape says that a study is of another version of the program.
var errShape = errors.New("web: a study of another shape")

// shapeOf is what a study is made of, as a hash of the names and kinds of all that
// is written of it. One that another version of the program made is not gone on
// with, and not read: what it lacks could not be told from what it says.
func shapeOf(s explore.Study) string {
	sum := sha256.New()
	writeShape(sum, reflect.TypeOf(s), map[reflect.Type]bool{})
	return hex.EncodeToString(sum.Sum(nil)[:6])
}

func writeShape(w io.Writer, t reflect.Type, seen map[reflect.Type]bool) {
	fmt.Fprint(w, t.Kind(), " ")
	if seen[t] {
		return
	}
	seen[t] = true
	switch t.Kind() {
	case reflect.Array:
		fmt.Fprint(w, t.Len(), " ")
		writeShape(w, t.Elem(), seen)
	case reflect.Pointer, reflect.Slice, reflect.Map:
		writeShape(w, t.Elem(), seen)
	case reflect.Struct:
		for i := range t.NumField() {
			if f := t.Field(i); f.IsExported() {
				fmt.Fprint(w, f.Name, " ", f.Tag, " ")
				writeShape(w, f.Type, seen)
			}
		}
	}
}

// with is the document with the study as it stands.
func (doc studyDoc) with(s explore.Study) (studyDoc, error) {
	data, err := json.Marshal(s)
	doc.Study, doc.Shape = data, shapeOf(s)
	doc.Done, doc.Total = s.Total()
	_, units := s.Batch()
	doc.Finished = units == 0
	return doc, err
}

// open reads the study of a document.
func (doc studyDoc) open() (explore.Study, error) {
	q, ok := questionOf(doc.Question)
	if !ok {
		return nil, fmt.Errorf("web: unknown question %q", doc.Question)
	}
	s := q.empty()
	if doc.Shape != shapeOf(s) {
		return nil, errShape
	}
	if err := json.Unmarshal(doc.Study, s); err != nil {
		return nil, err
	}
	return s, s.Open()
}

// While a study runs, its state is kept in the workshop file between batches,
// beside the units of the batch at hand that are done. Two places take turns, so
// that one of them is whole at any moment. When the run ends, the state becomes a
// revision of the record and the places are emptied: after a killed program they
// are where the study is found.
func statePlaces(id string) [2]string { return [2]string{id + "/state/0", id + "/state/1"} }

func (b *Bench) keepState(ctx context.Context, place string, doc studyDoc) error {
	data, err := json.Marshal(doc)
	if err != nil {
		return err
	}
	if err := b.Workshop.ForgetUnits(ctx, place); err != nil {
		return err
	}
	return b.Workshop.KeepUnit(ctx, place, 0, data)
}

// keptState is the study as it was last kept, on its way or in its record.
func (b *Bench) keptState(ctx context.Context, id string, recorded studyDoc) (studyDoc, error) {
	last := recorded
	for _, place := range statePlaces(id) {
		units, err := b.Workshop.Units(ctx, place)
		if err != nil {
			return last, err
		}
		for _, data := range units {
			var doc studyDoc
			if json.Unmarshal(data, &doc) == nil && doc.Done >= last.Done {
				last = doc
			}
		}
	}
	return last, nil
}

// forgetState empties the places of a study, and what is done of a batch where
// that is not wanted any more.
func (b *Bench) forgetState(ctx context.Context, id string) error {
	places := statePlaces(id)
	return errors.Join(b.Workshop.ForgetUnits(ctx, places[0]), b.Workshop.ForgetUnits(ctx, places[1]))
}

// studyRoom is where long studies are carried: as many at a time as there are
// pairs of processors, the others wait in line.
type studyRoom struct {
	mu     sync.Mutex
	desks  chan struct{}
	work   map[string]*studyWork
	failed map[string]error // of studies that came to an end before theirs
	shown  []shownAnswer    // the last first
	shut   bool
	all    sync.WaitGroup
}

// studyWorkers carry one study.
const studyWorkers = 2

func newStudyRoom() *studyRoom {
	return &studyRoom{desks: make(chan struct{}, max(1, runtime.GOMAXPROCS(0)/studyWorkers)), work: map[string]*studyWork{}, failed: map[string]error{}}
}

// studyWork is a study that is carried, or waits in line.
type studyWork struct {
	stop     context.CancelFunc
	ended    chan struct{}
	waits    bool
	doc      studyDoc // after its last batch
	progress explore.Progress
}

// shownAnswer is an answer that was worked out for a page.
type shownAnswer struct {
	study  string
	done   int
	answer hasAnswer
	at     time.Time
	took   time.Duration
}

// close stops all studies, keeps them, and takes no more.
func (r *studyRoom) close() {
	r.mu.Lock()
	r.shut = true
	for _, w := range r.work {
		w.stop()
	}
	r.mu.Unlock()
	r.all.Wait()
}

// launch carries a study from where it stands, in the background.
func (b *Bench) launch(id string, doc studyDoc) error {
	s, err := doc.open()
	if err != nil {
		return err
	}
	ctx, stop := context.WithCancel(context.Background())
	w := &studyWork{stop: stop, ended: make(chan struct{}), waits: true, doc: doc, progress: explore.Progress{Done: doc.Done, Total: doc.Total}}
	r := b.studies
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.work[id] != nil || r.shut {
		stop()
		return nil
	}
	r.work[id] = w
	delete(r.failed, id)
	r.all.Add(1)
	go func() {
		defer r.all.Done()
		defer stop()
		err := b.carry(ctx, id, w, s)
		if ctx.Err() != nil {
			err = nil // it was stopped
		}
		if keepErr := b.keepStudy(id, w.doc, s); err == nil {
			err = keepErr
		}
		r.mu.Lock()
		defer r.mu.Unlock()
		delete(r.work, id)
		if err != nil {
			b.Log.Error("study", "record", id, "err", err)
			r.failed[id] = err
		}
		close(w.ended)
	}()
	return nil
}

// carry waits for a desk and works there.
func (b *Bench) carry(ctx context.Context, id string, w *studyWork, s explore.Study) error {
	r := b.studies
	select {
	case r.desks <- struct{}{}:
	case <-ctx.Done():
		return ctx.Err()
	}
	defer func() { <-r.desks }()
	r.mu.Lock()
	w.waits = false
	r.mu.Unlock()
	var turn int
	var last time.Time
	var took time.Duration
	keep := func(s explore.Study) error {
		doc, err := w.doc.with(s)
		if err != nil {
			return err
		}
		r.mu.Lock()
		w.doc = doc
		r.mu.Unlock()
		if time.Since(last) < keepShare*took {
			return nil
		}
		last = time.Now()
		err = b.keepState(ctx, statePlaces(id)[turn%2], doc)
		took = time.Since(last)
		turn++
		return err
	}
	return study.Carry(ctx, study.Alone{Kept: b.Workshop, Workers: studyWorkers}, id, s, keep, func(p explore.Progress) {
		r.mu.Lock()
		defer r.mu.Unlock()
		w.progress = p
	})
}

// keepShare is for how many times as long as the last keeping took a study goes on
// until the next: large states are not written after every short batch. What is
// lost by a kill is computed again, to the same end.
const keepShare = 10

// keepStudy writes a study that is no longer carried into its record.
func (b *Bench) keepStudy(id string, doc studyDoc, s explore.Study) error {
	ctx := context.Background()
	doc, err := doc.with(s)
	if err != nil {
		return err
	}
	rec, err := b.Workshop.Get(ctx, id)
	if err != nil {
		return err
	}
	if rec.Head.Deleted {
		return b.dropStudy(ctx, id, s)
	}
	if q, ok := questionOf(doc.Question); ok {
		if answer, err := b.studies.answer(id, s, func(s explore.Study) (hasAnswer, error) { return q.answer(b, s) }); err == nil {
			doc.Says = b.say(answer.common().Says)
		}
	}
	data, err := json.Marshal(doc)
	if err != nil {
		return err
	}
	edit := workshop.Edit{Record: id, Kind: studyKind, Base: rec.Head.ID, Name: rec.Head.Name, Content: data, By: b.by(ctx, "")}
	if _, err := b.Workshop.Save(ctx, edit); err != nil {
		return err
	}
	return b.forgetState(ctx, id)
}

// dropStudy forgets what is kept of a study beside its record.
func (b *Bench) dropStudy(ctx context.Context, id string, s explore.Study) error {
	batch, _ := s.Batch()
	return errors.Join(b.forgetState(ctx, id), b.Workshop.ForgetUnits(ctx, fmt.Sprintf("%s/%d", id, batch)))
}

// halt stops a study, if it is carried, and waits until it is kept.
func (r *studyRoom) halt(id string) {
	r.mu.Lock()
	w := r.work[id]
	r.mu.Unlock()
	if w == nil {
		return
	}
	w.stop()
	<-w.ended
}

// The states of a study.
const (
	studyWaits   = "waits"
	studyRuns    = "runs"
	studyStopped = "stopped"
	studyDone    = "done"
	studyFailed  = "failed"
)

// asked is a study of the workshop as it stands.
type asked struct {
	ID       string
	Head     workshop.Revision
	Began    time.Time
	Doc      studyDoc
	State    string
	Progress explore.Progress
	Failed   message.Text
}

// Share is how much is done, in percent.
func (a asked) Share() int {
	if a.Progress.Total <= 0 {
		return 0
	}
	return int(math.Floor(100 * float64(a.Progress.Done) / float64(a.Progress.Total)))
}

// Under reports whether the study is under way.
func (a asked) Under() bool { return a.State == studyRuns || a.State == studyWaits }

// loadStudy reads a study.
func (b *Bench) loadStudy(ctx context.Context, id string) (asked, error) {
	a := asked{ID: id}
	o, err := b.open(ctx, id, studyKind)
	if err != nil {
		return a, err
	}
	a.Head = o.Head
	var recorded studyDoc
	if err := json.Unmarshal(o.Document, &recorded); err != nil {
		return a, err
	}
	history, err := b.Workshop.History(ctx, id)
	if err != nil {
		return a, err
	}
	a.Began = history[len(history)-1].At
	r := b.studies
	r.mu.Lock()
	w, failed := r.work[id], r.failed[id]
	if w != nil {
		a.Doc, a.Progress, a.State = w.doc, w.progress, studyRuns
		if w.waits {
			a.State = studyWaits
		}
	}
	r.mu.Unlock()
	if w != nil {
		return a, nil
	}
	if a.Doc, err = b.keptState(ctx, id, recorded); err != nil {
		return a, err
	}
	a.Progress = explore.Progress{Done: a.Doc.Done, Total: a.Doc.Total}
	switch {
	case a.Doc.Finished:
		a.State = studyDone
	case failed != nil:
		a.State, a.Failed = studyFailed, failure(failed)
	default:
		a.State = studyStopped
	}
	return a, nil
}

// studiesOf lists the studies that asked a question of a stove, the last first.
func (b *Bench) studiesOf(ctx context.Context, stove, question string, deleted bool) ([]workshop.Record, error) {
	list, err := b.Workshop.List(ctx, workshop.Filter{Kind: studyKind, Deleted: deleted})
	if err != nil {
		return nil, err
	}
	name := studyName(stove, question)
	list = slices.DeleteFunc(list, func(r workshop.Record) bool { return r.Head.Name != name })
	slices.SortStableFunc(list, func(x, y workshop.Record) int { return y.Head.At.Compare(x.Head.At) })
	return list, nil
}

// studyName is the name of a study's record: it says of which stove and which
// question it is, so that a list need not read the studies.
func studyName(stove, question string) string { return stove + " " + question }

// answerOf gives what a study says so far, worked out once for each state. While
// the study is under way an older answer does, so that looking on takes no more
// than a small share of the work.
func (r *studyRoom) answerOf(a asked, work func(explore.Study) (hasAnswer, error)) (hasAnswer, error) {
	if answer := r.known(a); answer != nil {
		return answer, nil
	}
	s, err := a.Doc.open()
	if err != nil {
		return nil, err
	}
	return r.answer(a.ID, s, work)
}

// known is the answer of a study that need not be worked out; nil for none.
func (r *studyRoom) known(a asked) hasAnswer {
	r.mu.Lock()
	defer r.mu.Unlock()
	for _, s := range r.shown {
		if s.study == a.ID && (s.done == a.Doc.Done || a.Under() && time.Since(s.at) < keepShare*s.took) {
			return s.answer
		}
	}
	return nil
}

// answer works out what a study says and remembers it.
func (r *studyRoom) answer(id string, s explore.Study, work func(explore.Study) (hasAnswer, error)) (hasAnswer, error) {
	began := time.Now()
	answer, err := work(s)
	if err != nil {
		return nil, err
	}
	done, _ := s.Total()
	r.mu.Lock()
	defer r.mu.Unlock()
	r.shown = slices.DeleteFunc(r.shown, func(s shownAnswer) bool { return s.study == id })
	r.shown = slices.Insert(r.shown, 0, shownAnswer{id, done, answer, time.Now(), time.Since(began)})
	r.shown = r.shown[:min(len(r.shown), shelved)]
	return answer, nil
}
