package web

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"net/url"
	"slices"
	"sort"
	"strings"

	"stovewright/booklet"
	"stovewright/brick"
	"stovewright/drawing"
	"stovewright/message"
	"stovewright/workshop"
)

// brickRoutes are the pages of the brick work: sheets of the workshop file, one
// for each form that there is on paper, and pages that only answer.
func (b *Bench) brickRoutes(on func(string, action)) {
	on("GET /bricks", b.showBricks)
	on("GET /bricks/{$}", func(w http.ResponseWriter, r *http.Request) error {
		http.Redirect(w, r, "/bricks", http.StatusSeeOther)
		return nil
	})
	on("POST /bricks/import", b.importSheet)
	on("GET /bricks/paper/{file}", b.brickForm)
	on("GET /bricks/firing/{id}/hours/{size}", b.firingHours)
	on("GET /bricks/trouble", b.showTrouble)
	on("GET /bricks/measure", b.showMeasure)
	on("POST /bricks/{paper}/new", b.newSheet)
	on("GET /bricks/{paper}/{id}", b.showSheet)
	on("POST /bricks/{paper}/{id}", b.writeSheet)
	on("POST /bricks/{paper}/{id}/key", b.writeSheetKey)
	on("POST /bricks/{paper}/{id}/do", b.doSheet)
	on("POST /bricks/{paper}/{id}/undo", b.undoSheet)
	on("POST /bricks/{paper}/{id}/redo", b.redoSheet)
	on("POST /bricks/{paper}/{id}/settle", b.settleSheet)
	on("GET /bricks/{paper}/{id}/history", b.sheetHistory)
	on("POST /bricks/{paper}/{id}/restore", b.restoreSheet)
	on("POST /bricks/{paper}/{id}/repair", b.repairSheet)
	on("GET /bricks/{paper}/{id}/file", b.sheetFile)
	on("POST /bricks/{paper}/{id}/copy", b.copySheet)
	on("POST /bricks/{paper}/{id}/delete", b.deleteSheet)
	on("POST /bricks/{paper}/{id}/undelete", b.undeleteSheet)
}

// bricksPage is the shelf of the brick work.
type bricksPage struct {
	frame
	Racks      []brickRack
	Document   string // a file that could not be taken, as it was sent
	Complaints message.InputErrors
}

// brickRack is the shelf of one kind of sheet.
type brickRack struct {
	Paper  *brickPaper
	Sheets []shelvedSheet
	Gone   []workshop.Record
}

// shelvedSheet is a sheet on the shelf with what it says in a line.
type shelvedSheet struct {
	workshop.Record
	Lines  []message.Text
	Broken bool
}

func (b *Bench) bricksPage(ctx context.Context) (bricksPage, error) {
	p := bricksPage{frame: b.frame("bricks", "web.bricks.title")}
	p.Last = b.last(ctx)
	for _, paper := range brickPapers {
		rack := brickRack{Paper: paper}
		list, err := b.sheets(ctx, paper)
		if err != nil {
			return p, err
		}
		for _, s := range list {
			item := shelvedSheet{Record: workshop.Record{ID: s.ID, Head: s.Head}, Broken: s.broken != nil}
			if s.broken == nil {
				item.Lines = paper.glance(b, ctx, s)
			}
			rack.Sheets = append(rack.Sheets, item)
		}
		if rack.Gone, err = b.Workshop.List(ctx, workshop.Filter{Kind: paper.kind(), Deleted: true}); err != nil {
			return p, err
		}
		p.Racks = append(p.Racks, rack)
	}
	return p, nil
}

// sheets reads all living sheets of a kind, those changed last first.
func (b *Bench) sheets(ctx context.Context, paper *brickPaper) ([]*sheet, error) {
	records, err := b.Workshop.List(ctx, workshop.Filter{Kind: paper.kind()})
	if err != nil {
		return nil, err
	}
	sort.SliceStable(records, func(i, j int) bool { return records[i].Head.At.After(records[j].Head.At) })
	var list []*sheet
	for _, rec := range records {
		s, err := b.loadSheet(ctx, paper, rec.ID)
		if err != nil {
			s = &sheet{opened: opened{Head: rec.Head}, ID: rec.ID, Paper: paper, broken: err}
		}
		list = append(list, s)
	}
	return list, nil
}

func (b *Bench) showBricks(w http.ResponseWriter, r *http.Request) error {
	if err := b.rest(r.Context()); err != nil {
		return err
	}
	p, err := b.bricksPage(r.Context())
	if err != nil {
		return err
	}
	b.show(w, http.StatusOK, "bricks", p)
	return nil
}

// newSheet starts an empty sheet, an example, or one that is made from another.
func (b *Bench) newSheet(w http.ResponseWriter, r *http.Request) error {
	paper, err := paperOf(r)
	if err != nil {
		return err
	}
	f, place := paper.begin(b.Catalogue), ""
	if r.PostFormValue("example") != "" {
		if f, err = b.openExample(r.Context(), paper); err != nil {
			return err
		}
	} else if paper.from != nil {
		if place, err = paper.from(b, r, f); err != nil {
			return err
		}
	}
	s := &sheet{Paper: paper, Form: f}
	if err := b.saveSheet(r.Context(), s, ""); err != nil {
		return err
	}
	http.Redirect(w, r, s.Path()+place, http.StatusSeeOther)
	return nil
}

// openExample reads the invented example of a kind. A mould and a batch are made
// of the invented series, which is opened with them where it is not there.
func (b *Bench) openExample(ctx context.Context, p *brickPaper) (any, error) {
	f, err := exampleSheet(p)
	if err != nil {
		return nil, err
	}
	name, hasSeries := readSlot(f, "series")
	if !hasSeries {
		return f, nil
	}
	named, err := b.seriesNamed(ctx, name)
	if err != nil || named != nil {
		return f, err
	}
	series, err := exampleSheet(seriesPaper)
	if err != nil {
		return nil, err
	}
	return f, b.saveSheet(ctx, &sheet{Paper: seriesPaper, Form: series}, "")
}

// importSheet takes a file of any kind of sheet, as a file or pasted. The kind
// is told by what only it has.
func (b *Bench) importSheet(w http.ResponseWriter, r *http.Request) error {
	text, err := sentDocument(r)
	if err != nil {
		return err
	}
	paper, f, err := readSent(text)
	if err != nil {
		p, pageErr := b.bricksPage(r.Context())
		if pageErr != nil {
			return pageErr
		}
		p.Document = text
		p.Complaints, _ = message.Complaints(err)
		b.show(w, http.StatusUnprocessableEntity, "bricks", p)
		return nil
	}
	s := &sheet{Paper: paper, Form: f}
	if err := b.saveSheet(r.Context(), s, ""); err != nil {
		return err
	}
	http.Redirect(w, r, s.Path(), http.StatusSeeOther)
	return nil
}

// sentDocument is the text of a file that was sent or pasted.
func sentDocument(r *http.Request) (string, error) {
	text := r.FormValue("document")
	file, _, err := r.FormFile("file")
	if err != nil {
		return text, nil // nothing but text was sent
	}
	defer file.Close()
	data, err := io.ReadAll(file)
	if len(data) > 0 {
		text = string(data)
	}
	return text, err
}

// readSent reads a file of any kind of sheet.
func readSent(text string) (*brickPaper, any, error) {
	if strings.TrimSpace(text) == "" {
		return nil, nil, message.InputErrors{{Field: "document", Reason: message.T("web.import.empty")}}
	}
	kind, err := brick.PaperOf([]byte(text))
	if err != nil {
		return nil, nil, err
	}
	for _, p := range brickPapers {
		if p.Key == kind {
			f, err := p.parse([]byte(text))
			return p, f, err
		}
	}
	return nil, nil, missing()
}

// seriesNamed finds a series by its name, the one changed last where several
// have it; nil where none has.
func (b *Bench) seriesNamed(ctx context.Context, name string) (*sheet, error) {
	list, err := b.sheets(ctx, seriesPaper)
	if err != nil || name == "" {
		return nil, err
	}
	for _, s := range list {
		if s.broken == nil && strings.EqualFold(strings.TrimSpace(s.Name()), strings.TrimSpace(name)) {
			return s, nil
		}
	}
	return nil, nil
}

// seriesNames are the names of all series, for a choice.
func (b *Bench) seriesNames(ctx context.Context) (names []string) {
	list, _ := b.sheets(ctx, seriesPaper)
	for _, s := range list {
		if s.broken == nil && s.Name() != "" {
			names = append(names, s.Name())
		}
	}
	return names
}

// trialNames are the names of the trials of a series.
func trialNames(s brick.Series) (names []string) {
	for _, t := range s.Trials {
		names = append(names, t.Name)
	}
	return names
}

// queryOf is the address of a page of a sheet.
func queryOf(pairs ...string) string {
	v := url.Values{}
	for i := 0; i+1 < len(pairs); i += 2 {
		v.Set(pairs[i], pairs[i+1])
	}
	return "?" + v.Encode()
}

// paperSizes are the sizes of paper that forms are printed on.
var paperSizes = map[string]drawing.Paper{"a4": drawing.A4, "letter": drawing.Letter}

// brickForm gives a blank sheet to be filled in by hand.
func (b *Bench) brickForm(w http.ResponseWriter, r *http.Request) error {
	kind, rest, _ := strings.Cut(r.PathValue("file"), "-")
	paper, ok := paperSizes[strings.TrimSuffix(rest, ".pdf")]
	if !ok || !strings.HasSuffix(rest, ".pdf") || !slices.Contains(brick.Papers, brick.Paper(kind)) {
		return missing()
	}
	var out bytes.Buffer
	if err := booklet.BrickForm(&out, brick.Paper(kind), b.Catalogue, paper); err != nil {
		return err
	}
	download(w, "application/pdf", kind+"-"+rest, out.Bytes())
	return nil
}

// firingHours gives the hourly log sheet of a planned firing.
func (b *Bench) firingHours(w http.ResponseWriter, r *http.Request) error {
	paper, ok := paperSizes[strings.TrimSuffix(r.PathValue("size"), ".pdf")]
	if !ok {
		return missing()
	}
	s, err := b.loadSheet(r.Context(), kilnPaper, r.PathValue("id"))
	if err != nil {
		return err
	}
	f := s.Form.(*brick.KilnForm)
	plan, ok := planOf(f)
	if !ok {
		return missing()
	}
	var out bytes.Buffer
	if err := booklet.FiringHours(&out, s.Name(), plan, f.Positions, b.Catalogue, paper); err != nil {
		return err
	}
	download(w, "application/pdf", fileName(s.Name(), "hours.pdf"), out.Bytes())
	return nil
}
