package cli

import (
	"bytes"
	"cmp"
	"fmt"
	"path/filepath"
	"strings"

	"stovewright/booklet"
	"stovewright/explore"
	"stovewright/explore/figure"
	"stovewright/message"
	"stovewright/stove"
)

// answerFlags write the pictures of an answer, or all of it as a report, beside
// what is printed.
type answerFlags struct {
	Pictures string `help:"${explore_pictures}" placeholder:"folder"`
	Report   string `help:"${explore_report}" placeholder:"report.pdf"`
	Paper    string `help:"${report_paper}" enum:"a4,letter" default:"a4" placeholder:"a4"`
}

// answer is what a question came to.
type answer struct {
	question string
	brief    string // name of the file
	form     stove.Form
	says     []string
	pictures []picture
	gauges   *explore.Tolerance // nil but for tolerance
}

// check complains, before anything is computed, about a report of another kind, and
// about places that nothing can be written to.
func (f answerFlags) check() error {
	if f.Report != "" && !strings.EqualFold(filepath.Ext(f.Report), ".pdf") {
		return &message.InputError{Field: "--report", Value: f.Report, Reason: message.T("cli.explore.report-kind"), Try: "--report report.pdf"}
	}
	return cmp.Or(writable(f.Report), writableFolder(f.Pictures))
}

// write writes what was asked for.
func (f answerFlags) write(c *call, a answer) error {
	if f.Pictures != "" {
		if err := f.draw(c, a); err != nil {
			return err
		}
	}
	if f.Report == "" {
		return nil
	}
	out := booklet.Answer{Stove: a.form.Name, Note: a.form.Note, Title: c.Catalogue.S("cli.explore.title-" + a.question),
		Says: a.says, Gauges: a.gauges}
	for _, p := range a.pictures {
		out.Pictures = append(out.Pictures, p.sheet)
	}
	var pdf bytes.Buffer
	if err := out.PDF(&pdf, c.Catalogue, papers[f.Paper]); err != nil {
		return err
	}
	return save(f.Report, pdf.Bytes())
}

// pictureWidth is the width of a picture in millimetres: that of a page's text.
const pictureWidth = 170

// draw writes those pictures that there are, as SVG and PDF, each named after the
// brief and the question.
func (f answerFlags) draw(c *call, a answer) error {
	n := 0
	for _, p := range a.pictures {
		if p.sheet == nil {
			continue
		}
		name := fileName(a.brief) + "-" + a.question
		if p.id != "" {
			name += "-" + p.id
		}
		if _, err := p.write(filepath.Join(f.Pictures, name)); err != nil {
			return err
		}
		n++
	}
	if n == 0 {
		return nil
	}
	fmt.Fprintln(c.Err, c.Catalogue.S("cli.explore.pictures", "n", n, "path", f.Pictures))
	return nil
}

// eachMetric draws a picture for every metric.
func eachMetric(draw func(explore.Metric) picture) []picture {
	var list []picture
	for m := range explore.MetricCount {
		p := draw(m)
		p.id += m.String()
		list = append(list, p)
	}
	return list
}

// frontPictures are the designs in every pair of goals, the first goal upright.
func frontPictures(c *call, q *explore.Search, front []explore.Design) []picture {
	var list []picture
	best := explore.Recommend(front)
	for i, y := range q.Goals {
		for _, x := range q.Goals[i+1:] {
			list = append(list, picture{string(y) + "-" + string(x), figure.Front(q, front, x, y, best, c.Catalogue, pictureWidth)})
		}
	}
	return list
}
