package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"stovewright/booklet"
	"stovewright/brick"
	"stovewright/brick/figure"
	"stovewright/brick/mixture"
	"stovewright/drawing"
	"stovewright/message"
	"stovewright/quantity"
)

// write writes the pictures and the paper forms that were asked for and gives
// their names.
func (b *brickCmd) write(all *brickSheets, c *message.Catalogue) (written []string, err error) {
	if b.Pictures != "" {
		if written, err = all.writePictures(b.Pictures, c); err != nil {
			return nil, err
		}
	}
	if b.Forms == "" {
		return written, nil
	}
	paper := map[string]drawing.Paper{"a4": drawing.A4, "letter": drawing.Letter}[b.Paper]
	files, err := booklet.BrickForms(c, paper)
	if err != nil {
		return nil, err
	}
	for _, f := range all.files {
		if len(f.firing.Plan.Steps) == 0 {
			continue
		}
		var pdf bytes.Buffer
		if err := booklet.FiringHours(&pdf, f.firing.Name, f.firing.Plan, f.firing.Log.Positions, c, paper); err != nil {
			return nil, err
		}
		files = append(files, booklet.File{Name: fileName(f.name) + "-hours-" + b.Paper + ".pdf", Data: pdf.Bytes()})
	}
	for _, f := range files {
		path := filepath.Join(b.Forms, f.Name)
		if err := save(path, f.Data); err != nil {
			return nil, err
		}
		written = append(written, path)
	}
	return written, nil
}

// save writes a file and the folder it is in.
func save(path string, data []byte) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	return os.WriteFile(path, data, 0o644)
}

// picture is one picture with the end of its file's name.
type picture struct {
	id    string
	sheet *drawing.Sheet
}

// write writes a picture as PDF and SVG and gives the names of the files.
func (p picture) write(path string) ([]string, error) {
	var svg, pdf bytes.Buffer
	if err := p.sheet.SVG(&svg); err != nil {
		return nil, err
	}
	if err := drawing.PDF(&pdf, p.sheet); err != nil {
		return nil, err
	}
	if err := save(path+".pdf", pdf.Bytes()); err != nil {
		return nil, err
	}
	if err := save(path+".svg", svg.Bytes()); err != nil {
		return nil, err
	}
	return []string{path + ".pdf", path + ".svg"}, nil
}

func (all *brickSheets) writePictures(dir string, c *message.Catalogue) (written []string, err error) {
	for _, f := range all.files {
		for _, p := range pictures(f, c) {
			names, err := p.write(filepath.Join(dir, fileName(f.name)+"-"+p.id))
			if err != nil {
				return nil, err
			}
			written = append(written, names...)
		}
	}
	if len(written) == 0 {
		return nil, &message.InputError{Field: "--pictures", Value: dir, Reason: message.T("cli.brick.no-picture"), Try: "stovewright brick firing.yaml --pictures " + dir}
	}
	return written, nil
}

var notInNames = regexp.MustCompile(`[^\pL0-9]+`)

// fileName is the name of a file without its folder and ending, fit for the
// beginning of another.
func fileName(path string) string {
	base := filepath.Base(path)
	return strings.Trim(notInNames.ReplaceAllString(strings.TrimSuffix(base, filepath.Ext(base)), "-"), "-")
}

// pictures are what can be drawn of a sheet: the firing beside its plan, where
// the rejects stood, and for three materials the density over their mixtures.
func pictures(f brickFile, c *message.Catalogue) (list []picture) {
	switch f.paper {
	case brick.FiringPaper:
		var log *brick.KilnLog
		if len(f.firing.Log.Rows) > 0 {
			log = &f.firing.Log
		}
		if log != nil || len(f.firing.Plan.Steps) > 0 {
			list = append(list, picture{"firing", figure.Firing(f.firing.Plan, log, c)})
		}
		if len(f.firing.Bricks) > 0 {
			list = append(list, picture{"places", figure.KilnMap(f.firing.Bricks, c)})
		}
	case brick.SeriesPaper:
		if sheet := ternary(f.series, c); sheet != nil {
			list = append(list, picture{"mixtures", sheet})
		}
	}
	return list
}

// ternary draws the fired density over all mixtures of a series' three
// materials, at the water of its trials.
func ternary(s brick.Series, c *message.Catalogue) *drawing.Sheet {
	if len(s.Stocks) != 3 || len(s.Trials) == 0 {
		return nil
	}
	belief, err := brick.Update(s.Stocks, brick.FormingDefaults(), s.Trials, brickSeed)
	if err != nil {
		return nil
	}
	var blends []figure.Blend
	water, n := 0.0, 0.0
	for _, t := range s.Trials {
		if p, w, err := belief.Shares(t.Mix); err == nil {
			blends = append(blends, figure.Blend{Point: p, Label: t.Name})
			water, n = water+w, n+1
		}
	}
	var names [3]string
	for i, stock := range s.Stocks {
		names[i] = stock.Name
	}
	at := belief.DensityAt(water / n)
	density := func(p mixture.Point) float64 { return at(p) / 1000 }
	var levels []float64
	for v := 0.2; v < 2; v += 0.1 {
		levels = append(levels, v)
	}
	return figure.Ternary(names, density, levels, 1, quantity.GramPerCM3.Symbol, blends, c)
}
