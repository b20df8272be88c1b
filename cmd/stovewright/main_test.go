package main

import (
	"bufio"
	"context"
	"flag"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

// update rewrites the expected outputs in the scripts.
var update = flag.Bool("update", false, "rewrite the expected outputs of the scripts")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"stovewright": main})
}

// TestScripts runs the program as its user does. Each script holds its input
// files; the example briefs are there as examples/….
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata",
		UpdateScripts:       *update,
		RequireUniqueNames:  true,
		RequireExplicitExec: true,
		Setup: func(e *testscript.Env) error {
			return os.CopyFS(filepath.Join(e.WorkDir, "examples"), os.DirFS("../../examples"))
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"serve": serve},
	})
}

// serve starts a command that serves, waits for the address it prints, fetches
// the page there, interrupts the command, and waits for its end:
//
//	serve wait-for-this stovewright bench …
//
// What was printed goes to the files served-stdout and served-stderr, the page
// to served-page. Each step is bounded in time.
func serve(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: serve pattern command…")
	}
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	program, err := lookPath(ts.Getenv("PATH"), args[1])
	ts.Check(err)
	cmd := exec.CommandContext(ctx, program, args[2:]...)
	cmd.Dir = ts.MkAbs(".")
	for _, name := range []string{"HOME", "PATH", "TMPDIR"} {
		cmd.Env = append(cmd.Env, name+"="+ts.Getenv(name))
	}
	stderr, err := os.Create(ts.MkAbs("served-stderr"))
	ts.Check(err)
	defer stderr.Close()
	cmd.Stderr = stderr
	pipe, err := cmd.StdoutPipe()
	ts.Check(err)
	ts.Check(cmd.Start())

	printed := ""
	address := ""
	lines := bufio.NewScanner(pipe)
	pattern := regexp.MustCompile(args[0])
	for address == "" && lines.Scan() {
		printed += lines.Text() + "\n"
		address = pattern.FindString(lines.Text())
	}
	page, pageErr := fetch(ctx, address)
	ts.Check(cmd.Process.Signal(os.Interrupt))
	for lines.Scan() {
		printed += lines.Text() + "\n"
	}
	if err := cmd.Wait(); err != nil {
		ts.Fatalf("after the interrupt: %v\n%s", err, printed)
	}
	ts.Check(pageErr)
	ts.Check(os.WriteFile(ts.MkAbs("served-stdout"), []byte(printed), 0o600))
	ts.Check(os.WriteFile(ts.MkAbs("served-page"), page, 0o600))
}

func lookPath(path, name string) (string, error) {
	for _, dir := range filepath.SplitList(path) {
		if found, err := exec.LookPath(filepath.Join(dir, name)); err == nil {
			return found, nil
		}
	}
	return "", exec.ErrNotFound
}

func fetch(ctx context.Context, address string) ([]byte, error) {
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, address, nil)
	if err != nil {
		return nil, err
	}
	response, err := http.DefaultClient.Do(request)
	if err != nil {
		return nil, err
	}
	defer response.Body.Close()
	return io.ReadAll(response.Body)
}
