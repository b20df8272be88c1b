package web

import (
	"bytes"
	"net/http"
	"slices"
	"strings"

	protocol "stovewright/bench"
	"stovewright/booklet"
	"stovewright/drawing"
	"stovewright/stove"
)

// reportNames are the reports of a test or of a comparison, by the name of the
// file: one page, all of it, and tables for other programs.
var reportNames = []string{"one-page.pdf", "report.pdf", "report.xlsx", "report.csv"}

// Reports are what a page offers to take along.
func (testFrame) Reports() []string { return reportNames }

// Reports are what a page offers to take along.
func (comparePage) Reports() []string { return reportNames }

// Reports are what a page offers to take along.
func (logsPage) Reports() []string { return reportNames }

// Reports are what a page offers to take along.
func (logPage) Reports() []string { return reportNames }

// writeReport answers with a report.
func (b *Bench) writeReport(w http.ResponseWriter, r *http.Request, report booklet.TestReport, name string) error {
	wanted := r.PathValue("name")
	if !slices.Contains(reportNames, wanted) {
		return missing()
	}
	report.OnePage = strings.HasPrefix(wanted, "one-page")
	report.Paper = b.paperOf(r)
	var out bytes.Buffer
	var err error
	ending := wanted[strings.LastIndexByte(wanted, '.'):]
	kind := fileKinds[ending]
	switch ending {
	case ".pdf":
		err = report.PDF(&out, b.Catalogue)
	case ".xlsx":
		kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
		err = report.Workbook(&out, b.Catalogue)
	default:
		err = report.CSV(&out, b.Catalogue)
	}
	if err != nil {
		return err
	}
	download(w, kind, fileName(name, wanted), out.Bytes())
	return nil
}

// paperOf is the paper of this workshop.
func (b *Bench) paperOf(r *http.Request) drawing.Paper {
	settings, err := b.Workshop.Settings(r.Context())
	if err == nil && strings.EqualFold(settings["paper"], "letter") {
		return drawing.Letter
	}
	return drawing.A4
}

// testReport is the report of one test.
func (b *Bench) testReport(w http.ResponseWriter, r *http.Request) error {
	t, err := b.loadTest(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	file, err := t.compute()
	if err != nil {
		return err
	}
	settings := protocol.DefaultSettings
	settings.Draws = 0
	study, err := protocol.NewStudy([]protocol.TestFile{file}, "", nil, settings)
	if err != nil {
		return err
	}
	return b.writeReport(w, r, booklet.TestReport{Study: study, Stove: b.sizedStove(r, b.stoveOf(r.Context(), t))}, t.name(b.Catalogue))
}

// compareReport is the report of a comparison.
func (b *Bench) compareReport(w http.ResponseWriter, r *http.Request) error {
	p, err := b.comparePage(r.Context(), r.URL.Query())
	if err != nil {
		return err
	}
	if p.Study == nil || len(p.Tests) == 0 {
		return missing()
	}
	return b.writeReport(w, r, booklet.TestReport{Study: p.Study, Stove: b.stoveOfName(r, p.Base)}, strings.Join(append([]string{p.Base}, p.Chosen...), " "))
}

// useReport is the report of the loggers, or of the one that the address names.
func (b *Bench) useReport(w http.ResponseWriter, r *http.Request) error {
	p, err := b.logsPage(r.Context(), false)
	if err != nil {
		return err
	}
	if id := r.URL.Query().Get("of"); id != "" {
		p.Logs = slices.DeleteFunc(p.Logs, func(l *logRecord) bool { return l.ID != id })
	}
	study := &protocol.Study{Settings: protocol.DefaultSettings}
	if study.Uses, err = p.uses(); err != nil {
		return err
	}
	if len(study.Uses) == 0 {
		return missing()
	}
	if s, err := protocol.StackRecords(study.Uses, study.Settings.Level); err == nil {
		study.Usage = &s
	}
	return b.writeReport(w, r, booklet.TestReport{Study: study}, b.Catalogue.S("web.tests.logs.usage"))
}

// stoveOfName is the stove of the workshop that goes by a name, sized; nil
// without one.
func (b *Bench) stoveOfName(r *http.Request, name string) *stove.Stove {
	id, _ := b.stoveNamed(r.Context(), name)
	return b.sizedStove(r, id)
}

// sizedStove is a stove of the workshop, sized; nil for none.
func (b *Bench) sizedStove(r *http.Request, id string) *stove.Stove {
	if id == "" {
		return nil
	}
	d, err := b.load(r.Context(), id)
	if err != nil {
		return nil
	}
	return d.Stove
}

// testPaper is the blank form of a kind of test, to be filled in by hand and
// typed in later in the same order.
func (b *Bench) testPaper(w http.ResponseWriter, r *http.Request) error {
	kind := protocol.Kind(r.PathValue("kind"))
	if !slices.Contains(protocol.Kinds, kind) {
		return missing()
	}
	var out bytes.Buffer
	if err := booklet.TestForm(&out, kind, b.stoveOfName(r, r.URL.Query().Get("stove")), b.Catalogue, b.paperOf(r)); err != nil {
		return err
	}
	download(w, "application/pdf", fileName(b.Catalogue.Say(kind.Words()), "pdf"), out.Bytes())
	return nil
}
