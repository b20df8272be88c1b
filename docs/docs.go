// Package docs carries inside the binary what must go wherever it goes: the
// bibliography, so that the proof page can name its sources offline, and the
// licences of everything that is linked.
package docs

import "embed"

// Bibliography is docs/sources.bib: every published source the program cites,
// in BibTeX, keyed.
//
//go:embed sources.bib
var Bibliography string

// Licences holds the folder docs/licences: a folder for the program and for
// each module and font in it, with the texts of their licences.
//
//go:embed licences
var Licences embed.FS
