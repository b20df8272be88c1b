package web

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"html/template"
	"net/http"
	"path"
	"strconv"
	"strings"
	"sync"

	"stovewright/booklet"
	"stovewright/brick"
	"stovewright/drawing"
	"stovewright/kit"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
)

// kitPage is everything to buy, mould and cut for one stove.
type kitPage struct {
	frame
	Kit     *kit.Kit
	Checks  []stove.Check // warnings and cautions; notes stay on the stove's page
	Mass    quantity.Value
	Needed  int
	Repairs []repair
	View    string // for the forms of the repairs
	Buy     []purchase
	Cuts    []cut
	Parts   []part
	Moulds  []mould
	Layouts []int // numbers of the sheets that blanks are laid out on
	Paper   string
	Views   []string
}

// CannotBuild reports whether there is no kit, and the page must say why.
func (p kitPage) CannotBuild() bool { return p.Kit == nil }

type purchase struct {
	kit.Purchase
	HasAmount bool
}

type cut struct {
	kit.Cut
	UseText         message.Text
	LengthV, WidthV quantity.Value
	ThickV          quantity.Value
	Round           bool
	MaterialText    message.Text
	For             message.Text // the mould that a board belongs to
}

type part struct {
	kit.Part
	MassV        quantity.Value
	MaterialText message.Text
}

type mould struct {
	kit.Mould
	File         string // its name without the ending
	FiredV, CutV [3]quantity.Value
	Inserts      int
}

// kitShelf keeps the kit that was looked at last: its page and each of its
// files belong to one state of one stove.
type kitShelf struct {
	sync.Mutex
	key   [sha256.Size]byte
	kit   *kit.Kit
	err   error
	files []booklet.File
}

// kitOf takes a stove apart, once for each state.
func (b *Bench) kitOf(d *design) (*kit.Kit, error) {
	b.shelf.Lock()
	defer b.shelf.Unlock()
	return b.take(d)
}

func (b *Bench) take(d *design) (*kit.Kit, error) {
	doc, err := d.Form.Write()
	if err != nil {
		return nil, err
	}
	if key := sha256.Sum256(doc); key != b.shelf.key || b.shelf.kit == nil && b.shelf.err == nil {
		b.shelf.key, b.shelf.files = key, nil
		b.shelf.kit, b.shelf.err = kit.Make(d.Stove)
	}
	return b.shelf.kit, b.shelf.err
}

// bundle makes every file of the kit, once for each state.
func (b *Bench) bundle(d *design) ([]booklet.File, error) {
	b.shelf.Lock()
	defer b.shelf.Unlock()
	if _, err := b.take(d); err != nil {
		return nil, err
	}
	if b.shelf.files == nil {
		files, err := booklet.Bundle(d.Stove, b.Catalogue, booklet.Paper(d.Stove))
		if err != nil {
			return nil, err
		}
		b.shelf.files = files
	}
	return b.shelf.files, nil
}

func (b *Bench) showKit(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	if err := b.rest(ctx); err != nil {
		return err
	}
	d, err := b.load(ctx, r.PathValue("id"))
	if err != nil {
		return err
	}
	b.opened(ctx, d.ID)
	p, err := b.kitPage(d)
	if err != nil {
		return err
	}
	b.answer(w, r, "kit", p)
	return nil
}

func (b *Bench) kitPage(d *design) (kitPage, error) {
	p := kitPage{frame: b.frameOf(d, "kit"), View: views[0].name, Views: viewNames()}
	if d.Stove == nil {
		p.Repairs, p.Needed = repairs(b, d.Complaints)
		return p, nil
	}
	k, err := b.kitOf(d)
	if complaints, ok := message.Complaints(err); ok {
		p.Repairs, p.Needed = repairs(b, complaints)
		return p, nil
	}
	if err != nil {
		return p, err
	}
	for _, c := range d.Stove.Checks {
		if c.Level != stove.Note {
			p.Checks = append(p.Checks, c)
		}
	}
	p.Kit, p.Mass = k, quantity.KG(k.Mass())
	p.Paper = strings.ToLower(booklet.Paper(d.Stove).Name)
	for _, q := range k.Purchases {
		p.Buy = append(p.Buy, purchase{q, q.Amount.SI != 0})
	}
	moulds := map[string]message.Text{}
	for _, q := range k.Moulds {
		moulds[q.ID] = q.Name
	}
	for _, q := range k.Cuts {
		marked := quantity.Value{Unit: quantity.Millimetre, Step: 1} // as sheet is marked
		if q.Use == kit.Wood {
			marked.Step = 0.5
		}
		length, width := marked, marked
		length.SI, width.SI = q.Length, q.Width
		p.Cuts = append(p.Cuts, cut{q, message.T("kit.use." + string(q.Use)), length, width,
			quantity.Value{SI: q.Thick, Unit: quantity.Millimetre, Step: 0.05}, q.Width == 0, materialText(q.Material), moulds[q.ID]})
	}
	for _, q := range k.Parts {
		p.Parts = append(p.Parts, part{Part: q, MassV: massValue(q.Mass), MaterialText: materialText(q.Material)})
	}
	for _, q := range k.Moulds {
		m := mould{Mould: q, File: strings.TrimPrefix(q.ID, "mould."), Inserts: len(q.Inserts)}
		for i, axis := range []brick.Axis{brick.Length, brick.Width, brick.Height} {
			m.FiredV[i], m.CutV[i] = quantity.MM1(q.Fired[axis]), quantity.MM1(q.Cavity.Size[axis])
		}
		p.Moulds = append(p.Moulds, m)
	}
	for i := range k.CuttingSheets(b.Catalogue, booklet.Paper(d.Stove)) {
		p.Layouts = append(p.Layouts, i+1)
	}
	return p, nil
}

func materialText(key string) message.Text {
	if key == "" {
		return message.Text{}
	}
	return message.T("material." + key)
}

// massValue rounds to what a kitchen scale shows: grams below one kilogram.
func massValue(kg float64) quantity.Value {
	if kg < 1 {
		return quantity.Value{SI: kg, Unit: quantity.Gram, Step: 1}
	}
	return quantity.KG(kg)
}

// kitFile gives one file of the kit. The pictures that the page shows are drawn
// alone; the others are made together and kept for the next.
func (b *Bench) kitFile(w http.ResponseWriter, r *http.Request) error {
	d, err := b.load(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	if d.Stove == nil {
		return missing()
	}
	name := r.PathValue("name")
	if data, err := b.picture(d, name); data != nil || err != nil {
		if err == nil {
			sendFile(w, r, d.Form.Name, name, data)
		}
		return err
	}
	files, err := b.bundle(d)
	if err != nil {
		return err
	}
	if name == "kit.zip" {
		return b.kitZip(w, d, files)
	}
	for _, f := range files {
		if f.Name == name {
			sendFile(w, r, d.Form.Name, name, f.Data)
			return nil
		}
	}
	return missing()
}

// picture draws a pattern or a layout; nil for other names.
func (b *Bench) picture(d *design, name string) ([]byte, error) {
	stem, isSVG := strings.CutSuffix(name, ".svg")
	if !isSVG {
		return nil, nil
	}
	k, err := b.kitOf(d)
	if err != nil {
		return nil, err
	}
	var sheet *drawing.Sheet
	if id, ok := strings.CutPrefix(stem, "patterns/"); ok {
		if pattern := k.Pattern(id); pattern != nil {
			sheet, _ = pattern.Sheet(b.Catalogue)
		}
	} else if number, ok := strings.CutPrefix(stem, "nesting/sheet-"); ok {
		n, _ := strconv.Atoi(number)
		if list := k.CuttingSheets(b.Catalogue, booklet.Paper(d.Stove)); n >= 1 && n <= len(list) {
			sheet = list[n-1]
		}
	}
	if sheet == nil {
		return nil, nil
	}
	var out bytes.Buffer
	err = sheet.SVG(&out)
	return out.Bytes(), err
}

// kinds of files that a system may not know.
var fileKinds = map[string]string{".stl": "model/stl", ".3mf": "model/3mf", ".dxf": "image/vnd.dxf", ".csv": "text/csv; charset=utf-8",
	".txt": "text/plain; charset=utf-8", ".svg": "image/svg+xml", ".pdf": "application/pdf", ".png": "image/png"}

func sendFile(w http.ResponseWriter, r *http.Request, stoveName, name string, data []byte) {
	kind := fileKinds[path.Ext(name)]
	if kind == "" {
		kind = "application/octet-stream"
	}
	if r.Header.Get("Sec-Fetch-Dest") == "image" { // in the page, not to keep
		w.Header().Set("Content-Type", kind)
		w.Write(data)
		return
	}
	download(w, kind, fileName(stoveName, strings.ReplaceAll(strings.TrimPrefix(name, "drawings/"), "/", "-")), data)
}

// kitZip packs the kit with its brief, so that it can be made again.
func (b *Bench) kitZip(w http.ResponseWriter, d *design, files []booklet.File) error {
	doc, err := d.Form.Write()
	if err != nil {
		return err
	}
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, f := range append([]booklet.File{{Name: "brief.yaml", Data: doc}}, files...) {
		entry, err := z.Create(f.Name)
		if err != nil {
			return err
		}
		if _, err := entry.Write(f.Data); err != nil {
			return err
		}
	}
	if err := z.Close(); err != nil {
		return err
	}
	download(w, "application/zip", fileName(d.Form.Name, "kit.zip"), out.Bytes())
	return nil
}

// kitBooklet writes the booklet alone: it is wanted more often than the rest.
func (b *Bench) kitBooklet(w http.ResponseWriter, r *http.Request) error {
	d, err := b.load(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	if d.Stove == nil {
		return missing()
	}
	paper, ok := map[string]drawing.Paper{"a4": drawing.A4, "letter": drawing.Letter}[r.PathValue("paper")]
	if !ok {
		return missing()
	}
	k, err := b.kitOf(d)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := booklet.Build(&out, d.Stove, k, b.Catalogue, paper); err != nil {
		return err
	}
	download(w, fileKinds[".pdf"], fileName(d.Form.Name, "booklet-"+r.PathValue("paper")+".pdf"), out.Bytes())
	return nil
}

// patternPage shows one pattern large, and how to mark it out without a printer.
type patternPage struct {
	frame
	Pattern     *kit.Pattern
	Drawing     template.HTML
	Coordinates []coordinate
}

type coordinate struct {
	kit.Coordinate
	X, Y, Step, Radius, CentreX, CentreY quantity.Value
	Nail                                 bool // the centre is the point itself
}

func (b *Bench) showPattern(w http.ResponseWriter, r *http.Request) error {
	d, err := b.load(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	if d.Stove == nil {
		return missing()
	}
	k, err := b.kitOf(d)
	if err != nil {
		return err
	}
	pattern := k.Pattern(r.PathValue("pattern"))
	if pattern == nil {
		return missing()
	}
	sheet, _ := pattern.Sheet(b.Catalogue)
	var out bytes.Buffer
	if err := sheet.SVG(&out); err != nil {
		return err
	}
	p := patternPage{frame: b.frameOf(d, "kit"), Pattern: pattern, Drawing: template.HTML(out.String())}
	for _, q := range pattern.Coordinates() {
		half := func(mm float64) quantity.Value {
			return quantity.Value{SI: mm / 1000, Unit: quantity.Millimetre, Step: 0.5} // as a tape is read
		}
		p.Coordinates = append(p.Coordinates, coordinate{q, half(q.At.X), half(q.At.Y), half(q.Step), half(q.Radius),
			half(q.Centre.X), half(q.Centre.Y), q.Centre == q.At})
	}
	b.answer(w, r, "pattern", p)
	return nil
}
