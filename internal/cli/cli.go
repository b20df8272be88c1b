// Package cli is the command line: it reads files, calls the packages of the
// trade and prints. It does no arithmetic of the trade.
//
// The rules of the interface:
//
//   - A command prints its result on standard output and nothing else there;
//     notices and complaints go to standard error.
//   - Exit codes: 0 done, 1 the work failed, 2 the input is wrong, 3 a file
//     could not be read or written.
//   - A complaint about input names the field, what was written, what is
//     allowed, and has a line "try:" with something that would be accepted.
//   - --json prints one JSON document that holds to the schema of its name in
//     docs/schema; with --json complaints are JSON too.
//   - Nothing is asked: a command can run in a script.
package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/signal"
	"slices"
	"strconv"
	"strings"
	"syscall"

	"github.com/alecthomas/kong"

	"stovewright/message"
	"stovewright/workshop"
)

// Exit codes, documented in docs/cli.md.
const (
	exitDone   = 0
	exitFailed = 1
	exitInput  = 2
	exitFile   = 3
)

// Program is the command line with its surroundings, so that tests can run it.
type Program struct {
	Args      []string // without the name of the program
	Out, Err  io.Writer
	Catalogue *message.Catalogue
	Browser   bool // a browser may be opened
}

// Main runs the program on the real surroundings and returns its exit code.
func Main() int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	p := Program{Args: os.Args[1:], Out: os.Stdout, Err: os.Stderr, Catalogue: message.English(), Browser: true}
	return p.Run(ctx)
}

// commands is the grammar. Help texts come from the catalogue.
type commands struct {
	Bench   benchCmd   `cmd:"" default:"withargs" help:"${bench}"`
	Size    sizeCmd    `cmd:"" help:"${size}"`
	Fire    fireCmd    `cmd:"" help:"${fire}"`
	Explore exploreCmd `cmd:"" help:"${explore}"`
	Kit     kitCmd     `cmd:"" help:"${kit}"`
	Brick   brickCmd   `cmd:"" help:"${brick}"`
	Test    testCmd    `cmd:"" help:"${test}"`
	Compare compareCmd `cmd:"" help:"${compare}"`
	Plan    planCmd    `cmd:"" help:"${plan}"`
	Tiers   tiersCmd   `cmd:"" help:"${tiers}"`
	Trouble troubleCmd `cmd:"" help:"${trouble}"`
	Form    formCmd    `cmd:"" help:"${form}"`
	Proof   proofCmd   `cmd:"" help:"${proof}"`
	Export  exportCmd  `cmd:"" help:"${export}"`
	Import  importCmd  `cmd:"" help:"${import}"`

	Version  bool `help:"${version}" short:"v"`
	Licences bool `help:"${licences}"`
}

// jsonFlag is the flag of the commands that print a result.
type jsonFlag struct {
	JSON bool `help:"${json}" name:"json"`
}

// call is what a command gets to work with.
type call struct {
	*Program
	ctx context.Context
}

// exit carries an exit code out of kong, which would end the process.
type exit int

// Run does what the arguments ask and returns the exit code.
func (p Program) Run(ctx context.Context) (code int) {
	defer func() {
		if r := recover(); r != nil {
			e, ours := r.(exit)
			if !ours {
				panic(r)
			}
			code = int(e)
		}
	}()
	p.Out, p.Err = plain{p.Out}, plain{p.Err}
	var grammar commands
	parser, err := kong.New(&grammar, kong.Name("stovewright"), kong.Description(p.Catalogue.S("cli.description")),
		kong.Writers(p.Out, p.Err), kong.Exit(func(c int) { panic(exit(c)) }), p.helpTexts(), kong.Help(p.help))
	if err != nil {
		panic(err) // the grammar is part of the program
	}
	if err := unknownCommand(parser.Model, p.Args); err != nil {
		return p.fail(err)
	}
	parsed, err := parser.Parse(p.Args)
	if err != nil {
		return p.fail(usageError(err))
	}
	switch {
	case grammar.Version:
		fmt.Fprintln(p.Out, version())
		return exitDone
	case grammar.Licences:
		printLicences(p.Out)
		return exitDone
	}
	if err := parsed.Run(&call{Program: &p, ctx: ctx}); err != nil {
		return p.fail(err)
	}
	return exitDone
}

// plain prints the hard spaces of values as plain ones, so that "8.0 mm" can be
// searched for.
type plain struct{ io.Writer }

func (w plain) Write(text []byte) (int, error) {
	if _, err := w.Writer.Write(bytes.ReplaceAll(text, []byte("\u00a0"), []byte(" "))); err != nil {
		return 0, err
	}
	return len(text), nil
}

// wantsJSON reports whether complaints are wanted as JSON, also where the rest
// of the command cannot be read.
func (p Program) wantsJSON() bool {
	return slices.Contains(p.Args, "--json")
}

// helpTexts gives the grammar its words.
func (p Program) helpTexts() kong.Vars {
	vars := kong.Vars{}
	for _, id := range p.Catalogue.IDs() {
		if name, ok := strings.CutPrefix(id, "cli.help."); ok {
			vars[name] = p.Catalogue.S(id)
		}
	}
	for name, usual := range usualSizes {
		vars[name] = strconv.Itoa(usual)
	}
	return vars
}

// fail prints an error for people or as JSON and gives its exit code.
func (p Program) fail(err error) int {
	code := exitFailed
	complaints, input := message.Complaints(err)
	switch {
	case input:
		code = exitInput
	case isFileError(err):
		code = exitFile
	}
	if p.wantsJSON() {
		p.failJSON(err, complaints, code)
		return code
	}
	switch {
	case code == exitFile:
		fmt.Fprintln(p.Err, p.words(err))
	case code == exitFailed:
		fmt.Fprintln(p.Err, p.Catalogue.S("cli.failed", "reason", p.words(err)))
	}
	for _, c := range complaints {
		p.complain(c)
	}
	return code
}

// isFileError reports whether a file could not be read or written.
func isFileError(err error) bool {
	var path *fs.PathError
	var file *workshop.FileError
	var newer *workshop.NewerFileError
	var broken *workshop.ImportError
	var folder *folderError
	return errors.As(err, &path) || errors.As(err, &folder) || errors.As(err, &file) || errors.As(err, &newer) || errors.As(err, &broken)
}

// words tells an error in the user's language where it can.
func (p Program) words(err error) string {
	var said interface{ Text() message.Text }
	var path *fs.PathError
	switch {
	case errors.As(err, &said):
		return p.Catalogue.Say(said.Text())
	case errors.As(err, &path):
		return p.Catalogue.Say(fileText(path))
	case errors.Is(err, context.Canceled):
		return p.Catalogue.S("cli.interrupted")
	}
	return err.Error()
}

func (p Program) complain(c *message.InputError) {
	field := c.Field
	if c.Value != "" {
		field += ": " + c.Value
	}
	fmt.Fprintln(p.Err, field)
	fmt.Fprintln(p.Err, "    "+p.Catalogue.Say(c.Reason))
	if !c.Allowed.IsZero() {
		fmt.Fprintln(p.Err, "    "+p.Catalogue.Say(c.Allowed))
	}
	if c.Try != "" {
		try := p.Catalogue.S("cli.try", "try", c.Try)
		fmt.Fprintln(p.Err, "    "+strings.ReplaceAll(try, "\n", "\n         "))
	}
}

// errorJSON is the JSON form of a failure, docs/schema/error.schema.json.
type errorJSON struct {
	Error      string          `json:"error"`
	Code       int             `json:"code"`
	Complaints []complaintJSON `json:"complaints,omitempty"`
}

type complaintJSON struct {
	Field   string `json:"field"`
	Value   string `json:"value"`
	Reason  string `json:"reason"`
	Allowed string `json:"allowed,omitempty"`
	Try     string `json:"try,omitempty"`
}

func (p Program) failJSON(err error, complaints message.InputErrors, code int) {
	out := errorJSON{Error: p.words(err), Code: code}
	if len(complaints) > 0 {
		out.Error = p.Catalogue.S("cli.input")
	}
	for _, c := range complaints {
		out.Complaints = append(out.Complaints, complaintJSON{c.Field, c.Value, p.Catalogue.Say(c.Reason), p.Catalogue.Say(c.Allowed), c.Try})
	}
	writeJSON(p.Err, out)
}

func writeJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(v)
}
