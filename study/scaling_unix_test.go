//go:build unix

package study_test

import (
	"context"
	"flag"
	"fmt"
	"math"
	"os"
	"syscall"
	"testing"
	"time"

	"stovewright/drawing"
	"stovewright/explore"
	"stovewright/fire"
	"stovewright/study"
)

var scalingPicture = flag.String("scaling", "", "a file that BenchmarkScaling draws its picture into, as SVG")

// pace is how fast one crew computed so many designs.
type pace struct {
	crew          string
	workers       int
	designs       int
	clock, worked float64 // s by the clock, and of processors, PostgreSQL's left out
}

// BenchmarkScaling tells what a steady design costs with one, two and four workers
// and for a thousand to a hundred thousand designs: of one machine, and of a team
// over PostgreSQL.
//
//	go test ./study -run '^$' -bench Scaling -benchtime 1x -scaling ../docs/pictures/scaling.svg
func BenchmarkScaling(b *testing.B) {
	var paces []pace
	measure := func(crew string, workers, designs int, run func(ctx context.Context, s explore.Study) error) {
		b.Run(fmt.Sprintf("%s/workers=%d/designs=%d", crew, workers, designs), func(b *testing.B) {
			var p pace
			for range b.N {
				s := steadyDesigns(b, designs)
				began, worked := time.Now(), processorTime(b)
				if err := run(context.Background(), s); err != nil {
					b.Fatal(err)
				}
				p = pace{crew, workers, designs, time.Since(began).Seconds(), processorTime(b) - worked}
			}
			b.ReportMetric(1e6*p.worked/float64(designs), "cpu-µs/design")
			b.ReportMetric(float64(designs)/p.clock, "designs/s")
			paces = append(paces, p)
		})
	}
	for _, workers := range []int{1, 2, 4} {
		for _, designs := range []int{1_000, 10_000, 100_000} {
			measure("alone", workers, designs, func(ctx context.Context, s explore.Study) error { return explore.Run(ctx, s, workers, nil) })
		}
	}
	team := joinTeam(b, database(b))
	for _, workers := range []int{1, 2, 4} {
		for _, designs := range []int{1_000, 10_000} {
			measure("team", workers, designs, func(ctx context.Context, s explore.Study) error {
				ctx, home := context.WithCancel(ctx)
				defer home()
				go team.Serve(ctx, study.Computers(), workers)
				return study.Carry(ctx, team, fmt.Sprintf("scaling-%d-%d-%d", workers, designs, time.Now().UnixNano()), s, ignore, nil)
			})
		}
	}
	if *scalingPicture != "" {
		drawScaling(b, *scalingPicture, paces)
	}
}

// steadyDesigns is a study of about so many stoves, each sized anew.
func steadyDesigns(b *testing.B, designs int) explore.Study {
	subject := explore.Subject{Form: household, Coefficients: fire.Defaults()}
	sized, err := subject.Stove()
	if err != nil {
		b.Fatal(err)
	}
	inputs := explore.ChosenInputs(sized, 0.1)
	const replicates = 2
	g, err := explore.NewGlobal(subject, inputs, designs/replicates/(len(inputs)+2), replicates, 1)
	if err != nil {
		b.Fatal(err)
	}
	return g
}

func processorTime(b *testing.B) float64 {
	var r syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &r); err != nil {
		b.Fatal(err)
	}
	return float64(r.Utime.Sec+r.Stime.Sec) + float64(r.Utime.Usec+r.Stime.Usec)/1e6
}

// drawScaling draws designs per second of processor time over the number of
// designs, one line for each crew: level lines are work that no crew loses to
// waiting for itself.
func drawScaling(b *testing.B, file string, paces []pace) {
	s := drawing.NewSheet(drawing.Custom(150, 96))
	s.Title, s.Lang, s.ID, s.Decimal = "Scaling", "en", "scaling", '.'
	s.Desc = "Designs in a second of processor time over the number of designs, for one, two and four workers of one machine and of a team."
	left, right, bottom, top := 16.0, 104.0, 14.0, 84.0
	most := 0.0
	for _, p := range paces {
		most = math.Max(most, float64(p.designs)/p.worked)
	}
	most = 2000 * math.Ceil(most*1.05/2000)
	x := func(designs int) float64 { return left + (math.Log10(float64(designs))-3)/2*(right-left) }
	y := func(rate float64) float64 { return bottom + rate/most*(top-bottom) }
	write := func(px, py float64, text string, align drawing.Align) {
		s.Write(drawing.Pt(px, py), text, drawing.TextStyle{Height: 2, Align: align, VAlign: drawing.Middle})
	}
	for rate := 0.0; rate <= most; rate += 2000 {
		s.Stroke(drawing.HatchLine, drawing.Line(drawing.Pt(left, y(rate)), drawing.Pt(right, y(rate))))
		write(left-2, y(rate), fmt.Sprintf("%.0f", rate), drawing.AlignRight)
	}
	for _, n := range []int{1_000, 10_000, 100_000} {
		s.Stroke(drawing.Thin, drawing.Line(drawing.Pt(x(n), bottom), drawing.Pt(x(n), bottom-1)))
		write(x(n), bottom-4, fmt.Sprint(n), drawing.AlignCentre)
	}
	write((left+right)/2, bottom-9, "designs", drawing.AlignCentre)
	s.Write(drawing.Pt(2, top+6), "Designs in a second of processor time", drawing.TextStyle{Height: 2.4, Face: drawing.Bold, VAlign: drawing.Middle})
	drawCrews(s, paces, func(p pace) drawing.Point { return drawing.Pt(x(p.designs), y(float64(p.designs)/p.worked)) },
		func(line int) drawing.Point { return drawing.Pt(right+8, top-6-9*float64(line)) })
	f, err := os.Create(file)
	if err != nil {
		b.Fatal(err)
	}
	defer f.Close()
	if err := s.SVG(f); err != nil {
		b.Fatal(err)
	}
}

// drawCrews draws the line of each crew with its mark, and names it in the key: a
// circle, square or diamond for one, two or four workers, full for a team.
func drawCrews(s *drawing.Sheet, paces []pace, at func(pace) drawing.Point, key func(line int) drawing.Point) {
	line := 0
	for from := 0; from < len(paces); {
		first := paces[from]
		var points []drawing.Point
		for ; from < len(paces) && paces[from].crew == first.crew && paces[from].workers == first.workers; from++ {
			points = append(points, at(paces[from]))
		}
		pen, tone := drawing.Thin, drawing.White
		if first.crew == "team" {
			pen, tone = drawing.Hidden, drawing.Black
		}
		s.Stroke(pen, drawing.Polyline(points...))
		where := key(line)
		s.Stroke(pen, drawing.Line(where.Add(drawing.Pt(-4, 0)), where.Add(drawing.Pt(4, 0))))
		for _, p := range append(points, where) {
			s.Shape(tone, drawing.Thin, mark(first.workers, p))
		}
		words := fmt.Sprintf("%s, %d workers", first.crew, first.workers)
		if first.workers == 1 {
			words = first.crew + ", 1 worker"
		}
		s.Write(where.Add(drawing.Pt(6, 0)), words, drawing.TextStyle{Height: 2, VAlign: drawing.Middle})
		line++
	}
}

func mark(workers int, at drawing.Point) *drawing.Path {
	const r = 1.3
	switch workers {
	case 1:
		return drawing.Circle(at, r)
	case 2:
		return drawing.Rectangle(drawing.R(at.X-r, at.Y-r, 2*r, 2*r))
	}
	d := math.Sqrt2 * r
	return drawing.Polygon(at.Add(drawing.Pt(-d, 0)), at.Add(drawing.Pt(0, -d)), at.Add(drawing.Pt(d, 0)), at.Add(drawing.Pt(0, d)))
}
