// Command flowcase rebuilds and reruns the flow-solver rows that the pot channel
// of package fire is fitted to and held against.
//
//	go run ./fire/flowcase r1 gb8        reruns rows of fire/channel.csv
//	go run ./fire/flowcase -mesh 0.7 h03 with fewer cells
//
// It needs the general-purpose flow solver OpenFOAM 1912 (Debian package
// openfoam) and one to ten minutes a row. Each row is printed in the form of
// fire/channel.csv, with the scatter of the last iterations.
package main

import (
	"encoding/csv"
	"errors"
	"flag"
	"fmt"
	"os"
	"strconv"
)

func main() {
	file := flag.String("rows", "fire/channel.csv", "the table of rows")
	mesh := flag.Float64("mesh", 1, "cells each way, as a share of the table's")
	iterations := flag.Int("iterations", 3600, "most iterations")
	flag.Parse()
	if err := rerun(*file, *mesh, *iterations, flag.Args()); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func rerun(file string, mesh float64, iterations int, names []string) error {
	f, err := os.Open(file)
	if err != nil {
		return err
	}
	defer f.Close()
	cases, err := readCases(f)
	if err != nil {
		return err
	}
	var failed error
	for _, name := range names {
		c, ok := cases[name]
		if !ok {
			return fmt.Errorf("flowcase: no row %q in %s", name, file)
		}
		c.Refinement, c.Iterations = mesh, iterations
		dir, err := os.MkdirTemp("", "flowcase")
		if err != nil {
			return err
		}
		r, err := c.Run(dir)
		if cleared := os.RemoveAll(dir); err == nil {
			err = cleared
		}
		if err != nil {
			failed = errors.Join(failed, err) // the other rows may do
			continue
		}
		fmt.Printf("%s,%g,%g,%g,%g,%g,%g,%g,%g,%g,%g,%.2f,%.2f,%.2f,%.2f,%.4f # scatter %.1e after %d\n", c.Name, c.Riser, c.Pot, c.Gap, c.Skirt, c.Height, c.Flow, c.Hot,
			c.Curvature, c.Sunk, c.SunkGap, r.Centre, r.Ring, r.Side, r.Out, r.Pressure, r.Scatter, r.Iterations)
	}
	return failed
}

// readCases reads the geometry columns of the table.
func readCases(f *os.File) (map[string]Case, error) {
	r := csv.NewReader(f)
	r.Comment = '#'
	records, err := r.ReadAll()
	if err != nil {
		return nil, err
	}
	cases := make(map[string]Case)
	for _, row := range records[1:] {
		var x [10]float64
		for k := range x {
			if x[k], err = strconv.ParseFloat(row[k+1], 64); err != nil {
				return nil, fmt.Errorf("flowcase: row %s: %w", row[0], err)
			}
		}
		cases[row[0]] = Case{Name: row[0], Riser: x[0], Pot: x[1], Gap: x[2], Skirt: x[3], Height: x[4], Flow: x[5], Hot: x[6], Curvature: x[7], Sunk: x[8], SunkGap: x[9]}
	}
	return cases, nil
}
