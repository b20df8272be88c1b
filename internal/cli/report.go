package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"

	"stovewright/bench"
	"stovewright/booklet"
	"stovewright/message"
	"stovewright/stove"
)

// reportFlags write a report beside what is printed.
type reportFlags struct {
	Level  string   `help:"${test_level}" placeholder:"95%" default:"95%"`
	Report []string `help:"${report}" placeholder:"report.pdf" sep:"none"`
	Pages  string   `help:"${report_pages}" enum:"one,full" default:"full" placeholder:"one"`
	Paper  string   `help:"${report_paper}" enum:"a4,letter" default:"a4" placeholder:"a4"`
}

// write makes a report of single tests.
func (r reportFlags) write(c *call, files []bench.TestFile, base string) error {
	if len(r.Report) == 0 {
		return nil
	}
	s := bench.DefaultSettings
	s.Draws = 0
	st, err := bench.NewStudy(files, base, nil, s)
	if err != nil {
		return err
	}
	return r.writeStudy(c, st)
}

// writeUse makes a report of one logger's record of a stove in use.
func (r reportFlags) writeUse(c *call, u bench.UseRecord) error {
	return r.writeStudy(c, &bench.Study{Settings: bench.DefaultSettings, Uses: []bench.UseRecord{u}})
}

// writeStudy writes each report that is asked for; the ending of its name says
// which kind it is.
func (r reportFlags) writeStudy(c *call, st *bench.Study) error {
	report := booklet.TestReport{Study: st, Paper: papers[r.Paper], OnePage: r.Pages == "one"}
	for _, name := range r.Report {
		var b bytes.Buffer
		var err error
		switch strings.ToLower(filepath.Ext(name)) {
		case ".pdf":
			err = report.PDF(&b, c.Catalogue)
		case ".xlsx":
			err = report.Workbook(&b, c.Catalogue)
		case ".csv":
			err = report.CSV(&b, c.Catalogue)
		default:
			return &message.InputError{Field: "--report", Value: name, Reason: message.T("cli.report.kind"), Allowed: message.T("form.allowed", "names", ".pdf, .xlsx, .csv"), Try: "--report report.pdf"}
		}
		if err != nil {
			return err
		}
		if err := os.WriteFile(name, b.Bytes(), 0o644); err != nil {
			return err
		}
	}
	return nil
}

// sizeIfGiven sizes the stove of a brief, or gives none where no brief is named.
func (a briefArgs) sizeIfGiven() (*stove.Stove, error) {
	if a.Brief == "" {
		return nil, nil
	}
	return a.size()
}
