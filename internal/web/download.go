package web

import (
	"bytes"
	"mime"
	"net/http"
	"strconv"
	"strings"
	"unicode"

	"stovewright/drawing"
)

// download answers with a file to keep.
func download(w http.ResponseWriter, kind, name string, data []byte) {
	h := w.Header()
	h.Set("Content-Type", kind)
	h.Set("Content-Length", strconv.Itoa(len(data)))
	h.Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": name}))
	w.Write(data)
}

// downloadSheet answers with a drawing to keep, as SVG or PDF.
func downloadSheet(w http.ResponseWriter, sheet *drawing.Sheet, format, name string) error {
	var out bytes.Buffer
	var err error
	switch format {
	case "svg":
		err = sheet.SVG(&out)
	case "pdf":
		err = drawing.PDF(&out, sheet)
	default:
		return missing()
	}
	if err == nil {
		download(w, fileKinds["."+format], name, out.Bytes())
	}
	return err
}

// fileName makes the name of a file from that of a stove: letters and digits of
// any script, hyphens for the rest, no longer than every disk takes.
func fileName(name, rest string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(name) {
		switch {
		case unicode.IsLetter(r), unicode.IsDigit(r):
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
		if b.Len() > 40 {
			break
		}
	}
	stem := strings.Trim(b.String(), "-")
	if stem == "" {
		stem = "stove"
	}
	separator := "."
	if strings.Contains(rest, ".") { // "section.svg" is a part of the stove
		separator = "-"
	}
	return stem + separator + rest
}
