package web

import (
	"cmp"

	"stovewright/docs"
)

// sourceTitle is the title of a source by its key; the key where it has none.
func sourceTitle(key string) string { return cmp.Or(docs.SourceOf(key).Title, key) }
