package study_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"stovewright/internal/outside"
	"stovewright/study"
)

// The child process of the tests: a machine of the team, to be killed.
const childURL = "STOVEWRIGHT_TEST_TEAM"

func TestMain(m *testing.M) {
	if url := os.Getenv(childURL); url != "" {
		team, err := study.Join(context.Background(), url)
		if err == nil {
			fmt.Println("ready")
			err = team.Serve(context.Background(), map[string]study.Computer{"slow": slow}, 3)
		}
		fmt.Println(err)
		os.Exit(1)
	}
	os.Exit(m.Run())
}

// slow gives the same as mixed, and takes its time.
func slow(spec []byte) (study.Unit, error) {
	unit, err := mixed(spec)
	return func(ctx context.Context, n int) ([]byte, error) {
		select {
		case <-time.After(30 * time.Millisecond):
			return unit(ctx, n)
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}, err
}

// database starts a PostgreSQL of its own, reached by a socket in its folder
// alone, and ends it with the test.
func database(t testing.TB) (url string) {
	t.Helper()
	initdb, server := program("initdb"), program("postgres")
	if initdb == "" || server == "" {
		outside.Lacks(t, "PostgreSQL (Debian package postgresql)")
	}
	dir, err := os.MkdirTemp("", "team") // short: the name of a socket has few letters
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	if err := lend(dir); err != nil {
		t.Fatal(err)
	}
	data := filepath.Join(dir, "data")
	if out, err := asUser(exec.Command(initdb, "-A", "trust", "-U", "maker", "--no-sync", "-E", "UTF8", "--locale=C", "-D", data)).CombinedOutput(); err != nil {
		t.Fatalf("initdb: %v\n%s", err, out)
	}
	cmd := asUser(exec.Command(server, "-D", data, "-c", "listen_addresses=", "-c", "unix_socket_directories="+dir, "-c", "fsync=off"))
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { cmd.Process.Signal(os.Interrupt); cmd.Wait() })
	url = "postgres:///postgres?user=maker&host=" + dir
	for deadline := time.Now().Add(20 * time.Second); ; {
		team, err := study.Join(context.Background(), url)
		if err == nil {
			team.Close()
			return url
		}
		if time.Now().After(deadline) {
			t.Fatal(err)
		}
		time.Sleep(50 * time.Millisecond)
	}
}

// program finds a program of PostgreSQL, which Debian keeps off the path.
func program(name string) string {
	if path, err := exec.LookPath(name); err == nil {
		if real, err := filepath.EvalSymlinks(path); err == nil {
			return real
		}
	}
	found, _ := filepath.Glob("/usr/lib/postgresql/*/bin/" + name)
	if len(found) == 0 {
		return ""
	}
	return found[len(found)-1]
}

func joinTeam(t testing.TB, url string) *study.Team {
	t.Helper()
	team, err := study.Join(context.Background(), url)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(team.Close)
	return team
}

// Machines are killed in the middle of their work, again and again; the study
// comes to its end, each unit is kept once, and the results are those of one
// worker on one machine.
func TestKilledWorkersCostNothing(t *testing.T) {
	url := database(t)
	team := joinTeam(t, url)
	ctx, stop := context.WithTimeout(context.Background(), 60*time.Second)
	defer stop()
	slowWork := work
	slowWork.Kind, slowWork.Units = "slow", 60
	if err := team.Submit(ctx, "s", slowWork); err != nil {
		t.Fatal(err)
	}
	if err := team.Submit(ctx, "s", slowWork); err != nil { // asked for twice, done once
		t.Fatal(err)
	}
	left := slowWork.Units
	for range 3 {
		child := exec.Command(os.Args[0])
		child.Env = append(os.Environ(), childURL+"="+url)
		out, err := child.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := child.Start(); err != nil {
			t.Fatal(err)
		}
		line := make([]byte, 6)
		if _, err := out.Read(line); err != nil || !strings.HasPrefix("ready\n", string(line[:5])) {
			t.Fatalf("the child said %q, %v", line, err)
		}
		for before := left; left > before-4; time.Sleep(5 * time.Millisecond) { // it is in the middle of its work
			if _, left, err = team.Results(ctx, "s"); err != nil {
				t.Fatal(err)
			}
		}
		child.Process.Kill()
		child.Wait()
	}
	if left == 0 {
		t.Fatal("the machines were killed when all was done")
	}
	serving, end := context.WithCancel(ctx)
	var group sync.WaitGroup
	for range 2 {
		other := joinTeam(t, url)
		group.Go(func() { other.Serve(serving, map[string]study.Computer{"slow": slow}, 2) })
	}
	got, err := team.Wait(ctx, "s", nil)
	end()
	group.Wait()
	if err != nil {
		t.Fatal(err)
	}
	want, err := study.Run(ctx, study.NewMemory(), "s", slowWork, slow, 1, nil)
	if err != nil || !bytes.Equal(join(got), join(want)) {
		t.Errorf("the team found something else than one worker (%v)", err)
	}
}

// A machine with more workers than connections to the database comes to the end all
// the same: no unit waits for a second one.
func TestMoreWorkersThanConnections(t *testing.T) {
	url := database(t)
	team, few := joinTeam(t, url), joinTeam(t, url+"&pool_max_conns=2")
	ctx, stop := context.WithTimeout(context.Background(), 60*time.Second)
	defer stop()
	slowWork := work
	slowWork.Kind = "slow"
	if err := team.Submit(ctx, "s", slowWork); err != nil {
		t.Fatal(err)
	}
	go few.Serve(ctx, map[string]study.Computer{"slow": slow}, 8)
	if _, err := team.Wait(ctx, "s", nil); err != nil {
		t.Fatal(err)
	}
}

// A unit that fails now and then is tried again; one that always fails ends the
// study with its number.
func TestTeamTriesAgain(t *testing.T) {
	team := joinTeam(t, database(t))
	ctx, stop := context.WithTimeout(context.Background(), 60*time.Second)
	defer stop()
	var mu sync.Mutex
	tries := map[int]int{}
	flaky := func(always int) study.Computer {
		return func(spec []byte) (study.Unit, error) {
			unit, err := mixed(spec)
			return func(ctx context.Context, n int) ([]byte, error) {
				mu.Lock()
				defer mu.Unlock()
				if tries[n]++; n == always || n%3 == 0 && tries[n] == 1 {
					return nil, errors.New("no luck")
				}
				return unit(ctx, n)
			}, err
		}
	}
	flakyWork := study.Work{Kind: "flaky", Spec: work.Spec, Units: 7}
	hopeless := study.Work{Kind: "hopeless", Spec: work.Spec, Units: 2}
	for name, w := range map[string]study.Work{"flaky": flakyWork, "hopeless": hopeless} {
		if err := team.Submit(ctx, name, w); err != nil {
			t.Fatal(err)
		}
	}
	serving, end := context.WithCancel(ctx)
	defer end()
	go team.Serve(serving, map[string]study.Computer{"flaky": flaky(-1), "hopeless": flaky(1)}, 2)
	got, err := team.Wait(ctx, "flaky", nil)
	if err != nil {
		t.Fatal(err)
	}
	want, _ := study.Run(ctx, study.NewMemory(), "", flakyWork, mixed, 1, nil)
	if !bytes.Equal(join(got), join(want)) {
		t.Error("trying again changed the results")
	}
	var unit *study.UnitError
	if _, err := team.Wait(ctx, "hopeless", nil); !errors.As(err, &unit) || unit.Number != 1 {
		t.Errorf("a unit that always fails gave %v", err)
	}
	if err := team.Forget(ctx, "flaky"); err != nil {
		t.Fatal(err)
	}
	if _, _, err := team.Results(ctx, "flaky"); err == nil {
		t.Error("a forgotten study has results")
	}
}

func TestJoinNowhere(t *testing.T) {
	ctx, stop := context.WithTimeout(context.Background(), 2*time.Second)
	defer stop()
	for _, url := range []string{"postgres:///x?host=" + t.TempDir(), "nonsense://", "postgres://%zz"} {
		if _, err := study.Join(ctx, url); err == nil {
			t.Errorf("%q was joined", url)
		}
	}
}
