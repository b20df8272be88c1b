package cli

import (
	"fmt"
	"path/filepath"

	"stovewright/explore"
	"stovewright/explore/figure"
)

// pictureFlag writes the pictures of an answer beside what is printed.
type pictureFlag struct {
	Pictures string `help:"${explore_pictures}" placeholder:"folder"`
}

// pictureWidth is the width of a picture in millimetres: that of a page's text.
const pictureWidth = 170

// draw writes those pictures that there are, as SVG and PDF, each named after the
// brief and the question.
func (f pictureFlag) draw(c *call, brief, question string, list []picture) error {
	if f.Pictures == "" {
		return nil
	}
	n := 0
	for _, p := range list {
		if p.sheet == nil {
			continue
		}
		name := fileName(brief) + "-" + question
		if p.id != "" {
			name += "-" + p.id
		}
		if _, err := p.write(filepath.Join(f.Pictures, name)); err != nil {
			return err
		}
		n++
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
