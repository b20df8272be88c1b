package booklet

import (
	"bytes"
	"fmt"
	"io"

	"stovewright/drawing"
	"stovewright/kit"
	"stovewright/message"
	"stovewright/stove"
	"stovewright/stove/figure"
)

// File is one file of a kit, with its path inside the kit's folder.
type File struct {
	Name string
	Data []byte
}

// Bundle makes every file of a stove's kit: the booklet, the drawings as SVG,
// PDF, PNG and DXF, the patterns, moulds, lists and tables. Order and bytes are
// the same each time.
func Bundle(s *stove.Stove, c *message.Catalogue, paper drawing.Paper) ([]File, error) {
	k, err := kit.Make(s)
	if err != nil {
		return nil, err
	}
	var files []File
	add := func(name string, write func(io.Writer) error) {
		if err != nil {
			return
		}
		var b bytes.Buffer
		if err = write(&b); err != nil {
			err = fmt.Errorf("booklet: %s: %w", name, err)
			return
		}
		files = append(files, File{name, b.Bytes()})
	}
	add("booklet-"+sizeName(paper)+".pdf", func(w io.Writer) error { return Build(w, s, k, c, paper) })
	figures := figure.All(s, c, figure.Options{Paper: paper})
	sheets := make([]*drawing.Sheet, len(figures))
	for i, f := range figures {
		sheets[i] = f.Sheet
		add("drawings/"+f.Name+".svg", f.Sheet.SVG)
		add("drawings/"+f.Name+".png", func(w io.Writer) error { return f.Sheet.PNG(w, pictureDPI) })
		add("drawings/"+f.Name+".dxf", f.DXF)
	}
	add("drawings/drawings-"+sizeName(paper)+".pdf", func(w io.Writer) error { return drawing.PDF(w, sheets...) })
	if err != nil {
		return nil, err
	}
	parts, err := k.Files(c, paper)
	if err != nil {
		return nil, err
	}
	for _, f := range parts {
		files = append(files, File(f))
	}
	return files, nil
}

// pictureDPI is fine enough for a 0.13 mm line.
const pictureDPI = 200
