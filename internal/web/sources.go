package web

import (
	"regexp"
	"strings"
	"sync"

	"stovewright/docs"
)

// source is an entry of the bibliography as a page shows it.
type source struct {
	Key, Title, Author, Year, Note string
}

var (
	entryStart = regexp.MustCompile(`(?m)^@[a-z]+\{([A-Za-z0-9-]+),`)
	entryField = regexp.MustCompile(`\b(title|author|institution|year|note)\s*=\s*\{`)
)

// bibliography reads docs/sources.bib, in its order.
var bibliography = sync.OnceValue(func() []source {
	text := docs.Bibliography
	starts := entryStart.FindAllStringSubmatchIndex(text, -1)
	var list []source
	for i, m := range starts {
		end := len(text)
		if i+1 < len(starts) {
			end = starts[i+1][0]
		}
		s := source{Key: text[m[2]:m[3]]}
		body := text[m[1]:end]
		for _, f := range entryField.FindAllStringSubmatchIndex(body, -1) {
			value := braced(body[f[1]:])
			switch body[f[2]:f[3]] {
			case "title":
				s.Title = value
			case "author":
				s.Author = value
			case "institution":
				if s.Author == "" {
					s.Author = value
				}
			case "year":
				s.Year = value
			case "note":
				s.Note = value
			}
		}
		list = append(list, s)
	}
	return list
})

// braced is the text up to the brace that closes it.
func braced(text string) string {
	depth := 1
	for i, r := range text {
		switch r {
		case '{':
			depth++
		case '}':
			if depth--; depth == 0 {
				return strings.NewReplacer("{", "", "}", "", "--", "–").Replace(text[:i])
			}
		}
	}
	return text
}

// sourceTitle is the title of a source by its key; the key where it has none.
func sourceTitle(key string) string {
	for _, s := range bibliography() {
		if s.Key == key && s.Title != "" {
			return s.Title
		}
	}
	return key
}
