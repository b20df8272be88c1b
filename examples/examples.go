// Package examples carries the example briefs inside the binary. They are
// invented: nobody measured these pots, and each brief says so in its note.
package examples

import "embed"

// Briefs holds the example brief files (*.yaml).
//
//go:embed *.yaml
var Briefs embed.FS

// First is the brief that a new workshop opens on.
const First = "beans-pot.yaml"

// Bricks holds an example of each sheet of the brick work, all of them invented.
//
//go:embed bricks/*.yaml
var Bricks embed.FS

// Tests holds invented tests of every kind, and the record of a logger.
//
//go:embed tests
var Tests embed.FS
