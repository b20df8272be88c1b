// Package xlsx writes spreadsheets of the open format ISO/IEC 29500: sheets of
// texts and numbers, numbers as numbers, with a bold head that stays in view. It
// writes nothing else, and the same sheets always give the same bytes.
package xlsx

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"
)

// Cell is a text or a number. The zero Cell is empty.
type Cell struct {
	Text   string
	Number float64
	number bool
}

// Text is a cell of text.
func Text(s string) Cell { return Cell{Text: s} }

// Number is a cell that can be reckoned with; one that is not finite is empty.
func Number(v float64) Cell {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return Cell{}
	}
	return Cell{Number: v, number: true}
}

// Sheet is one sheet: a head and rows under it. Widths are in characters; those
// missing are 14.
type Sheet struct {
	Name   string // at most 31 characters, none of []:*?/\
	Head   []string
	Rows   [][]Cell
	Widths []float64
}

// limits of the format.
const (
	maxName    = 31
	maxRows    = 1 << 20
	maxColumns = 1 << 14
	maxText    = 32767
)

const head = `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>` + "\n"

// made is the date that is written into every file, so that the same sheets give
// the same bytes.
var made = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// Write writes a workbook of at least one sheet. The error is for names that the
// format does not allow, for too many rows, and for a writer that fails.
func Write(w io.Writer, sheets []Sheet) error {
	if err := allowed(sheets); err != nil {
		return err
	}
	z := zip.NewWriter(w)
	add := func(name, content string) error {
		f, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate, Modified: made})
		if err != nil {
			return err
		}
		_, err = io.WriteString(f, head+content)
		return err
	}
	parts := []struct{ name, content string }{
		{"[Content_Types].xml", contentTypes(len(sheets))},
		{"_rels/.rels", `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>`},
		{"xl/workbook.xml", workbook(sheets)},
		{"xl/_rels/workbook.xml.rels", relations(len(sheets))},
		{"xl/styles.xml", styles},
	}
	for i, s := range sheets {
		parts = append(parts, struct{ name, content string }{fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1), worksheet(s)})
	}
	for _, p := range parts {
		if err := add(p.name, p.content); err != nil {
			return fmt.Errorf("xlsx: %w", err)
		}
	}
	if err := z.Close(); err != nil {
		return fmt.Errorf("xlsx: %w", err)
	}
	return nil
}

func allowed(sheets []Sheet) error {
	seen := map[string]bool{}
	for _, s := range sheets {
		lower := strings.ToLower(s.Name)
		if n := len([]rune(s.Name)); n == 0 || n > maxName || strings.ContainsAny(s.Name, `[]:*?/\`) || seen[lower] {
			return fmt.Errorf("xlsx: %q is no name for a sheet, or stands twice", s.Name)
		}
		seen[lower] = true
		if len(s.Rows) >= maxRows || len(s.Head) > maxColumns {
			return fmt.Errorf("xlsx: sheet %q has %d rows and %d columns", s.Name, len(s.Rows), len(s.Head))
		}
	}
	if len(sheets) == 0 {
		return fmt.Errorf("xlsx: a workbook needs a sheet")
	}
	return nil
}

func contentTypes(n int) string {
	var b strings.Builder
	b.WriteString(`<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/><Override PartName="/xl/styles.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"/>`)
	for i := range n {
		fmt.Fprintf(&b, `<Override PartName="/xl/worksheets/sheet%d.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/>`, i+1)
	}
	b.WriteString(`</Types>`)
	return b.String()
}

func workbook(sheets []Sheet) string {
	var b strings.Builder
	b.WriteString(`<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets>`)
	for i, s := range sheets {
		fmt.Fprintf(&b, `<sheet name="%s" sheetId="%d" r:id="rId%d"/>`, escaped(s.Name), i+1, i+1)
	}
	b.WriteString(`</sheets></workbook>`)
	return b.String()
}

func relations(n int) string {
	var b strings.Builder
	b.WriteString(`<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">`)
	for i := range n {
		fmt.Fprintf(&b, `<Relationship Id="rId%d" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet%d.xml"/>`, i+1, i+1)
	}
	fmt.Fprintf(&b, `<Relationship Id="rId%d" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/styles" Target="styles.xml"/></Relationships>`, n+1)
	return b.String()
}

// styles: 0 is plain, 1 the bold head that wraps.
const styles = `<styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><fonts count="2"><font><sz val="10"/><name val="Arial"/></font><font><b/><sz val="10"/><name val="Arial"/></font></fonts><fills count="2"><fill><patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill></fills><borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders><cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs><cellXfs count="2"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/><xf numFmtId="0" fontId="1" fillId="0" borderId="0" xfId="0" applyFont="1" applyAlignment="1"><alignment wrapText="1" vertical="top"/></xf></cellXfs></styleSheet>`

func worksheet(s Sheet) string {
	var b strings.Builder
	b.WriteString(`<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetViews><sheetView workbookViewId="0"><pane ySplit="1" topLeftCell="A2" activePane="bottomLeft" state="frozen"/></sheetView></sheetViews><cols>`)
	for i := range max(len(s.Head), 1) {
		width := 14.0
		if i < len(s.Widths) && s.Widths[i] > 0 {
			width = s.Widths[i]
		}
		fmt.Fprintf(&b, `<col min="%d" max="%d" width="%g" customWidth="1"/>`, i+1, i+1, width)
	}
	b.WriteString(`</cols><sheetData>`)
	first := make([]Cell, len(s.Head))
	for i, h := range s.Head {
		first[i] = Text(h)
	}
	row(&b, 1, first, 1)
	for i, cells := range s.Rows {
		row(&b, i+2, cells, 0)
	}
	b.WriteString(`</sheetData></worksheet>`)
	return b.String()
}

func row(b *strings.Builder, number int, cells []Cell, style int) {
	fmt.Fprintf(b, `<row r="%d">`, number)
	for i, c := range cells {
		at := Column(i) + strconv.Itoa(number)
		switch {
		case c.number:
			fmt.Fprintf(b, `<c r="%s" s="%d"><v>%s</v></c>`, at, style, strconv.FormatFloat(c.Number, 'g', -1, 64))
		case c.Text != "":
			text := []rune(c.Text)
			if len(text) > maxText {
				text = text[:maxText]
			}
			fmt.Fprintf(b, `<c r="%s" s="%d" t="inlineStr"><is><t xml:space="preserve">%s</t></is></c>`, at, style, escaped(string(text)))
		}
	}
	b.WriteString(`</row>`)
}

// Column is the letters of a column, counted from 0: A, B, … Z, AA.
func Column(i int) string {
	if i < 26 {
		return string(rune('A' + i))
	}
	return Column(i/26-1) + Column(i%26)
}

// escaped is a text for XML; signs that XML cannot hold become �.
func escaped(s string) string {
	var b bytes.Buffer
	if err := xml.EscapeText(&b, []byte(s)); err != nil {
		return ""
	}
	return b.String()
}
