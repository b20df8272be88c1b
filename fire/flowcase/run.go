package main

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
)

// Result is what the flow solver finds, for the full circle.
type Result struct {
	Centre, Ring, Side float64 // W into the pot
	Out                float64 // K, mean over the mass leaving
	Pressure           float64 // Pa, static, inlet less outlet
	Scatter            float64 // largest change of a heat over the last fifth of the iterations, as a share of it
	Iterations         int
}

// Programs that a run needs; both come with the Debian package openfoam.
var programs = []string{"blockMesh", "buoyantSimpleFoam"}

// Run writes a case into a folder and solves it there.
func (c Case) Run(dir string) (Result, error) {
	if err := c.Write(dir); err != nil {
		return Result{}, err
	}
	for _, program := range programs {
		cmd := exec.Command(program)
		cmd.Dir = dir
		cmd.Env = append(os.Environ(), "WM_PROJECT_DIR=/usr/share/openfoam")
		if out, err := cmd.CombinedOutput(); err != nil {
			return Result{}, fmt.Errorf("flowcase: %s: %s: %w\n%s", c.Name, program, err, tail(out))
		}
	}
	return read(dir)
}

func tail(out []byte) string {
	const most = 2000
	if len(out) > most {
		out = out[len(out)-most:]
	}
	return string(out)
}

func read(dir string) (Result, error) {
	heats, err := table(filepath.Join(dir, "postProcessing/q/0/wallHeatFlux.dat"))
	if err != nil {
		return Result{}, err
	}
	series := make(map[string][]float64)
	var r Result
	for _, row := range heats {
		if len(row) < 5 {
			return Result{}, fmt.Errorf("flowcase: short row of heat flux: %q", row)
		}
		w, err := strconv.ParseFloat(row[4], 64)
		if err != nil {
			return Result{}, err
		}
		series[row[1]] = append(series[row[1]], -w*360/5)
		if r.Iterations, err = strconv.Atoi(row[0]); err != nil {
			return Result{}, err
		}
	}
	for name, to := range map[string]*float64{"potCentre": &r.Centre, "potRing": &r.Ring, "potSide": &r.Side} {
		s := series[name]
		if len(s) == 0 {
			return Result{}, fmt.Errorf("flowcase: no heat for %s", name)
		}
		*to = s[len(s)-1]
		for _, v := range s[len(s)-max(1, len(s)/5):] {
			r.Scatter = max(r.Scatter, abs(v / *to - 1))
		}
	}
	in, err := last(filepath.Join(dir, "postProcessing/pIn/0/surfaceFieldValue.dat"))
	if err != nil {
		return Result{}, err
	}
	out, err := last(filepath.Join(dir, "postProcessing/pOut/0/surfaceFieldValue.dat"))
	if err != nil {
		return Result{}, err
	}
	r.Pressure = in - out
	r.Out, err = last(filepath.Join(dir, "postProcessing/tOut/0/surfaceFieldValue.dat"))
	return r, err
}

func abs(x float64) float64 { return max(x, -x) }

// table reads the rows of a solver's log that are not comments.
func table(path string) ([][]string, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	var rows [][]string
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		if text := strings.TrimSpace(lines.Text()); text != "" && !strings.HasPrefix(text, "#") {
			rows = append(rows, strings.Fields(text))
		}
	}
	return rows, lines.Err()
}

func last(path string) (float64, error) {
	rows, err := table(path)
	if err != nil {
		return 0, err
	}
	if len(rows) == 0 || len(rows[len(rows)-1]) < 2 {
		return 0, fmt.Errorf("flowcase: %s is empty", filepath.Base(path))
	}
	return strconv.ParseFloat(rows[len(rows)-1][1], 64)
}
