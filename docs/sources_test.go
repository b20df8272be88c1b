package docs_test

import (
	"testing"

	"stovewright/docs"
)

// Every source can be cited in short, with a year; authors are named by the first.
func TestSourcesAreCitedInShort(t *testing.T) {
	if len(docs.Sources()) < 100 {
		t.Fatalf("%d sources", len(docs.Sources()))
	}
	for key, want := range map[string]string{"who2010indoor": "WHO 2010", "maccarty2010": "MacCarty et al. 2010", "nobody1900": "nobody1900"} {
		if got := docs.SourceOf(key).Short(); got != want {
			t.Errorf("%s is cited as %q, want %q", key, got, want)
		}
	}
}
