// Package bench is the test bench: what was measured on a stove, what the
// published protocols make of it, how sure that is, and what may be said of it.
//
// Boiling tests (version 4.2 and the older 3.0), cooking and kitchen tests, the
// sequence and tiers of ISO 19867, emissions, room air, safety, stove use and
// climate arithmetic each have a file. Readings and results are SI (kg, K, s,
// J, W) in Go; the equations of a protocol stand in data files in the units of
// the protocol, and every result unfolds into them as [Step] values that can be
// followed with a pencil.
//
// Nothing here predicts: a figure is measured, assumed (and named so) or
// computed from those. A boiling test is never called a tier, and no figure is
// a certificate.
package bench

import (
	"embed"
	"fmt"
	"sync"

	"github.com/goccy/go-yaml"
)

//go:embed data/*.yaml
var dataFiles embed.FS

// load decodes an embedded table. The tables are part of the program and
// tested, so a fault in one is a programmer's.
func load[T any](file string) T {
	data, err := dataFiles.ReadFile("data/" + file)
	if err != nil {
		panic(fmt.Sprintf("bench: %v", err))
	}
	var v T
	if err := yaml.UnmarshalWithOptions(data, &v, yaml.Strict()); err != nil {
		panic(fmt.Sprintf("bench: data/%s: %v", file, err))
	}
	return v
}

// lazy decodes a table when it is first asked for: a program that runs no tests
// does not wait for theirs.
func lazy[T any](file string) func() T {
	return sync.OnceValue(func() T { return load[T](file) })
}
