// Package docs carries the bibliography inside the binary, so that the proof
// page can name its sources offline.
package docs

import _ "embed"

// Bibliography is docs/sources.bib: every published source the program cites,
// in BibTeX, keyed.
//
//go:embed sources.bib
var Bibliography string
