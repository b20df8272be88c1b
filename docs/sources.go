package docs

import (
	"regexp"
	"strings"
	"sync"
)

// Source is an entry of the bibliography.
type Source struct {
	Key, Title, Author, Year, Note string
}

// Short names a source as a text cites it: who wrote it, and when; its key where
// neither is known.
func (s Source) Short() string {
	first, others, _ := strings.Cut(s.Author, " and ")
	name, _, _ := strings.Cut(first, ",")
	if others != "" {
		name += " et al."
	}
	if short := strings.TrimSpace(name + " " + s.Year); short != "" {
		return short
	}
	return s.Key
}

// SourceOf is a source by its key; one that is not there has the key alone.
func SourceOf(key string) Source {
	for _, s := range Sources() {
		if s.Key == key {
			return s
		}
	}
	return Source{Key: key}
}

var (
	entryStart = regexp.MustCompile(`(?m)^@[a-z]+\{([A-Za-z0-9-]+),`)
	entryField = regexp.MustCompile(`\b(title|author|institution|year|note)\s*=\s*\{`)
)

// Sources are the entries of the bibliography, in its order.
var Sources = sync.OnceValue(func() []Source {
	text := Bibliography
	starts := entryStart.FindAllStringSubmatchIndex(text, -1)
	var list []Source
	for i, m := range starts {
		end := len(text)
		if i+1 < len(starts) {
			end = starts[i+1][0]
		}
		s := Source{Key: text[m[2]:m[3]]}
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
