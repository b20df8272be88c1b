package web

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"stovewright/brick"
	"stovewright/examples"
	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/workshop"
)

// brickPaper is a kind of sheet, the same on paper, in a file and on the page.
type brickPaper struct {
	Key     brick.Paper // part of its address and of its messages
	fields  form.Fields
	lists   []string // parts of the form that may be there any number of times
	example string   // file in examples/bricks
	parse   func([]byte) (any, error)
	begin   func(*message.Catalogue) any                                  // a new sheet
	from    func(b *Bench, r *http.Request, f any) (string, error)        // fills a new sheet from what was asked; may be nil
	settle  func(f any)                                                   // puts the form into the order that the page needs; may be nil
	read    func(f any) (value any, err error)                            // what the form says, and every complaint
	glance  func(*Bench, context.Context, *sheet) []message.Text          // what it says, in a line or two
	page    func(*Bench, *http.Request, *sheet) (string, any, error)      // template and data
	do      func(*Bench, *http.Request, *sheet) (string, error)           // what buttons do; the place to go on
	grown   func(f any, list string, item int)                            // fills a new item of a list, counted from one; may be nil
	renamed func(f any, path, text string)                                // follows a change of a name; may be nil
	press   func(f any, verb, what string, sent func(string) string) bool // what a button of its own does; may be nil
	clean   func(f any) any                                               // the form as its file has it; may be nil
}

func (p *brickPaper) kind() string { return "brick-" + string(p.Key) }

// parser makes a form's own parser one of any form.
func parser[F any](parse func([]byte) (F, error)) func([]byte) (any, error) {
	return func(data []byte) (any, error) {
		f, err := parse(data)
		return &f, err
	}
}

// brickPapers are the sheets in the order of the paper forms.
var brickPapers = []*brickPaper{clayPaper, seriesPaper, dryingPaper, kilnPaper, mouldPaper, batchPaper}

func paperOf(r *http.Request) (*brickPaper, error) {
	for _, p := range brickPapers {
		if string(p.Key) == r.PathValue("paper") {
			return p, nil
		}
	}
	return nil, missing()
}

// exampleSheet reads the invented example of a kind.
func exampleSheet(p *brickPaper) (any, error) {
	data, err := examples.Bricks.ReadFile("bricks/" + p.example)
	if err != nil {
		return nil, err
	}
	return p.parse(data)
}

// sheet is a record of the brick work as it stands, with what is being typed.
type sheet struct {
	opened
	ID         string
	Paper      *brickPaper
	Form       any // points to a form of the brick package
	Value      any // what the form says, as far as it can be read
	Complaints message.InputErrors
	broken     error // why it cannot be read
}

// Name and Note are what every sheet begins with.
func (s *sheet) Name() string { text, _ := readSlot(s.Form, "name"); return text }
func (s *sheet) Note() string { text, _ := readSlot(s.Form, "note"); return text }

// Path is the address of the sheet.
func (s *sheet) Path() string { return "/bricks/" + string(s.Paper.Key) + "/" + s.ID }

// Invented reports whether the sheet still is the example.
func (s *sheet) Invented() bool {
	return strings.HasPrefix(strings.ToLower(s.Note()), "invented example")
}

// loadSheet reads a sheet.
func (b *Bench) loadSheet(ctx context.Context, p *brickPaper, id string) (*sheet, error) {
	s, err := b.writtenSheet(ctx, p, id)
	if err == nil {
		s.read()
	}
	return s, err
}

// writtenSheet gives a sheet as it is written, its values not yet read.
func (b *Bench) writtenSheet(ctx context.Context, p *brickPaper, id string) (*sheet, error) {
	o, err := b.open(ctx, id, p.kind())
	if err != nil {
		return nil, err
	}
	s := &sheet{opened: o, ID: id, Paper: p}
	if s.Form, err = p.parse(o.Document); err != nil {
		return nil, &unreadable{id: id, name: o.Head.Name, doc: o.Document, cause: err, repair: s.Path() + "/repair"}
	}
	if p.settle != nil {
		p.settle(s.Form)
	}
	return s, nil
}

// read looks for what is wrong with the form. Complaints are kept, not returned:
// a sheet that lacks something is the usual state of one that is being filled in.
func (s *sheet) read() {
	if s.Paper.settle != nil {
		s.Paper.settle(s.Form)
	}
	value, err := s.Paper.read(s.Form)
	s.Value = value
	s.Complaints, _ = message.Complaints(err)
}

// complaint finds what is wrong with a field.
func (s *sheet) complaint(path string) *message.InputError {
	for _, c := range s.Complaints {
		if c.Field == path {
			return c
		}
	}
	return nil
}

// complains reports whether anything under a path is wrong.
func (s *sheet) complains(path string) bool {
	for _, c := range s.Complaints {
		if strings.HasPrefix(c.Field, path) {
			return true
		}
	}
	return false
}

func (s *sheet) document() ([]byte, error) {
	f := s.Form
	if s.Paper.clean != nil {
		f = s.Paper.clean(f)
	}
	return f.(interface{ Write() ([]byte, error) }).Write()
}

// keepSheet saves what is being typed; see Bench.keep.
func (b *Bench) keepSheet(ctx context.Context, s *sheet) error {
	doc, err := s.document()
	if err != nil {
		return err
	}
	err = b.Workshop.SaveDraft(ctx, workshop.Draft{Form: typing, Edit: workshop.Edit{
		Record: s.ID, Kind: s.Paper.kind(), Base: s.Base, Name: s.Name(), Content: doc, By: b.by(ctx, ""),
	}})
	var conflict *workshop.ConflictError
	if errors.As(err, &conflict) { // kept all the same; the page shows both
		s.Conflict, err = conflict, nil
	}
	s.Typed, s.Undo, s.Redo = true, true, false
	return err
}

// saveSheet makes a revision at once.
func (b *Bench) saveSheet(ctx context.Context, s *sheet, why string) error {
	doc, err := s.document()
	if err != nil {
		return err
	}
	r, err := b.Workshop.Save(ctx, workshop.Edit{Record: s.ID, Kind: s.Paper.kind(), Base: s.Head.ID, Name: s.Name(), Content: doc, By: b.by(ctx, why)})
	if err != nil {
		return err
	}
	s.ID, s.Head, s.Base = r.Record, r, r.ID
	return nil
}

// sheetOf loads the sheet that a request is about.
func (b *Bench) sheetOf(r *http.Request) (*sheet, error) {
	p, err := paperOf(r)
	if err != nil {
		return nil, err
	}
	return b.loadSheet(r.Context(), p, r.PathValue("id"))
}

// sheetFrame is what every page of a sheet has around its own matter.
type sheetFrame struct {
	frame
	Sheet *sheet
	Query string // of this page of the sheet
}

func (b *Bench) sheetFrame(r *http.Request, s *sheet) sheetFrame {
	f := sheetFrame{frame: b.frame("bricks", "web.bricks.window", "name", s.Name()), Sheet: s}
	f.Last = b.last(r.Context())
	if q := r.URL.Query().Encode(); q != "" {
		f.Query = "?" + q
	}
	return f
}

// Key and Action are the addresses to which the form is sent.
func (f sheetFrame) Key() string    { return f.Sheet.Path() + "/key" + f.Query }
func (f sheetFrame) Action() string { return f.Sheet.Path() + f.Query }

func (b *Bench) showSheet(w http.ResponseWriter, r *http.Request) error {
	s, err := b.sheetOf(r)
	if err != nil {
		return err
	}
	name, data, err := s.Paper.page(b, r, s)
	if err != nil {
		return err
	}
	b.answer(w, r, name, data)
	return nil
}

// writeSheet takes the whole form, with or without a button that adds, removes
// or fills in something.
func (b *Bench) writeSheet(w http.ResponseWriter, r *http.Request) error {
	return b.takeSheet(w, r, func(name string, data any, place string, s *sheet) {
		b.done(w, r, name, data, s.Path()+onlyQuery(r)+place)
	})
}

// writeSheetKey takes the fields that the script sends while somebody types.
func (b *Bench) writeSheetKey(w http.ResponseWriter, r *http.Request) error {
	return b.takeSheet(w, r, func(name string, data any, _ string, _ *sheet) { b.render(w, http.StatusOK, name, "keyed", data) })
}

func onlyQuery(r *http.Request) string {
	if q := r.URL.Query().Encode(); q != "" {
		return "?" + q
	}
	return ""
}

func (b *Bench) takeSheet(w http.ResponseWriter, r *http.Request, answer func(name string, data any, place string, s *sheet)) error {
	if err := r.ParseForm(); err != nil {
		return err
	}
	b.changing.Lock()
	defer b.changing.Unlock()
	paper, err := paperOf(r)
	if err != nil {
		return err
	}
	s, err := b.writtenSheet(r.Context(), paper, r.PathValue("id"))
	if err != nil {
		return err
	}
	place, err := s.take(r.PostForm)
	if err != nil {
		return err
	}
	if err := b.keepSheet(r.Context(), s); err != nil {
		return err
	}
	s.read()
	name, data, err := s.Paper.page(b, r, s)
	if err != nil {
		return err
	}
	answer(name, data, place, s)
	return nil
}

// take writes what the page sent into the form. It returns the place on the
// page to go back to.
func (s *sheet) take(sent url.Values) (place string, err error) {
	for path, texts := range sent {
		if _, isField := s.Paper.fields.Find(path); isField {
			s.write(path, tidy(texts[0]))
		}
	}
	verb, what, _ := strings.Cut(sent.Get("do"), ":")
	ok := true
	switch verb {
	case "":
	case "add":
		ok, place = s.add(what), "#add-"+what
	case "remove":
		ok, place = s.remove(what), "#add-"+listOfItem(what)
	case "try":
		path, text, _ := strings.Cut(what, "=")
		ok, place = s.write(path, tidy(text)), "#"+path
	default:
		ok = s.Paper.press != nil && s.Paper.press(s.Form, verb, what, sent.Get)
		place = "#pressed"
	}
	if !ok {
		return "", missing()
	}
	return place, nil
}

// write puts a text into a field; what goes by the old name follows.
func (s *sheet) write(path, text string) bool {
	if s.Paper.renamed != nil {
		s.Paper.renamed(s.Form, path, text)
	}
	return writeSlot(s.Form, path, text)
}

// listOfItem is the list that an item is of: "trials[2].bricks[1]" is of
// "trials[2].bricks".
func listOfItem(path string) string { return path[:max(0, strings.LastIndexByte(path, '['))] }

// mostItems keeps the lists of a sheet at a length that a page can show.
const mostItems = 200

// add puts an empty item at the end of a list.
func (s *sheet) add(path string) bool {
	v, ok := sheetList(s.Form, s.Paper, path)
	if !ok || v.Len() >= mostItems {
		return false
	}
	growList(v)
	if s.Paper.grown != nil {
		s.Paper.grown(s.Form, path, v.Len())
	}
	return true
}

// remove takes an item, counted from one, out of a list.
func (s *sheet) remove(path string) bool {
	list := listOfItem(path)
	n, err := strconv.Atoi(strings.Trim(path[len(list):], "[]"))
	v, ok := sheetList(s.Form, s.Paper, list)
	if err != nil || !ok || n < 1 || n > v.Len() {
		return false
	}
	cutList(v, n)
	return true
}

// doSheet does what a button says and goes on at the place that follows.
func (b *Bench) doSheet(w http.ResponseWriter, r *http.Request) error {
	b.changing.Lock()
	defer b.changing.Unlock()
	if err := b.rest(r.Context()); err != nil {
		return err
	}
	s, err := b.sheetOf(r)
	if err != nil {
		return err
	}
	if s.Paper.do == nil {
		return missing()
	}
	place, err := s.Paper.do(b, r, s)
	if err != nil {
		return err
	}
	if err := b.saveSheet(r.Context(), s, ""); err != nil {
		return err
	}
	http.Redirect(w, r, s.Path()+place, http.StatusSeeOther)
	return nil
}
