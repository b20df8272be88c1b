package study_test

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"sync/atomic"
	"testing"

	"stovewright/study"
)

// full is a keeper whose disk is full.
type full struct{ *study.Memory }

var errFull = errors.New("no room")

func (full) KeepUnit(context.Context, string, int, []byte) error { return errFull }

// mixed is a computer whose results depend on the number alone.
func mixed(spec []byte) (study.Unit, error) {
	seed := uint64(len(spec)) + 7
	return func(_ context.Context, n int) ([]byte, error) {
		x := seed*2654435761 + uint64(n)
		for range 1000 {
			x ^= x << 13
			x ^= x >> 7
			x ^= x << 17
		}
		return binary.LittleEndian.AppendUint64(nil, x), nil
	}, nil
}

var work = study.Work{Kind: "mixed", Spec: []byte("spec"), Units: 40}

func join(results [][]byte) []byte { return bytes.Join(results, []byte("|")) }

func TestSameResultsWithAnyNumberOfWorkers(t *testing.T) {
	one, err := study.Run(context.Background(), study.NewMemory(), "s", work, mixed, 1, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, workers := range []int{0, 2, 7, 100} {
		many, err := study.Run(context.Background(), study.NewMemory(), "s", work, mixed, workers, nil)
		if err != nil || !bytes.Equal(join(one), join(many)) {
			t.Errorf("%d workers: %v", workers, err)
		}
	}
}

// A unit that breaks down fails the study with its number; what others computed stays.
func TestAUnitThatBreaksDownFailsItsStudyAlone(t *testing.T) {
	kept := study.NewMemory()
	breaks := func([]byte) (study.Unit, error) {
		return func(_ context.Context, n int) ([]byte, error) {
			if n == 5 {
				var none []byte
				return none[n:], nil
			}
			return []byte{byte(n)}, nil
		}, nil
	}
	_, err := study.Run(context.Background(), kept, "s", work, breaks, 1, nil)
	var failed *study.UnitError
	if !errors.As(err, &failed) || failed.Number != 5 {
		t.Errorf("%v", err)
	}
	if units, _ := kept.Units(context.Background(), "s"); len(units) != 5 {
		t.Errorf("%d units were kept, want the five before it", len(units))
	}
}

func TestAnInterruptedStudyGoesOn(t *testing.T) {
	kept := study.NewMemory()
	ctx, stop := context.WithCancel(context.Background())
	last := study.Progress{}
	_, err := study.Run(ctx, kept, "s", work, mixed, 2, func(p study.Progress) {
		if last = p; p.Done == 11 {
			stop()
		}
	})
	if !errors.Is(err, context.Canceled) || last.Done < 11 || last.Done == work.Units {
		t.Fatalf("stopped with %v after %d units", err, last.Done)
	}
	units, _ := kept.Units(context.Background(), "s")
	before := len(units)
	if before != last.Done {
		t.Errorf("%d units were told and %d kept", last.Done, before)
	}
	var computed atomic.Int64
	counting := func(spec []byte) (study.Unit, error) {
		unit, err := mixed(spec)
		return func(ctx context.Context, n int) ([]byte, error) { computed.Add(1); return unit(ctx, n) }, err
	}
	resumed, err := study.Run(context.Background(), kept, "s", work, counting, 2, nil)
	if err != nil {
		t.Fatal(err)
	}
	if int(computed.Load()) != work.Units-before {
		t.Errorf("%d units were kept and %d computed", before, computed.Load())
	}
	whole, _ := study.Run(context.Background(), study.NewMemory(), "s", work, mixed, 2, nil)
	if !bytes.Equal(join(resumed), join(whole)) {
		t.Error("an interruption changed the results")
	}
}

func TestFailures(t *testing.T) {
	ctx := context.Background()
	broken := errors.New("broken")
	failing := func([]byte) (study.Unit, error) {
		return func(_ context.Context, n int) ([]byte, error) {
			if n == 3 {
				return nil, broken
			}
			return []byte{byte(n)}, nil
		}, nil
	}
	var unit *study.UnitError
	if _, err := study.Run(ctx, study.NewMemory(), "s", work, failing, 4, nil); !errors.As(err, &unit) || unit.Number != 3 || !errors.Is(err, broken) {
		t.Errorf("a failing unit gave %v", err)
	}
	if _, err := study.Run(ctx, full{study.NewMemory()}, "s", work, mixed, 1, nil); !errors.Is(err, errFull) {
		t.Errorf("a full disk gave %v", err)
	}
	if _, err := study.Run(ctx, study.NewMemory(), "s", study.Work{}, mixed, 1, nil); err == nil {
		t.Error("a study without units ran")
	}
	if _, err := study.Run(ctx, study.NewMemory(), "s", work, func([]byte) (study.Unit, error) { return nil, broken }, 1, nil); !errors.Is(err, broken) {
		t.Errorf("a specification that cannot be read gave %v", err)
	}
}

func ExampleRun() {
	squares := func([]byte) (study.Unit, error) {
		return func(_ context.Context, n int) ([]byte, error) { return fmt.Append(nil, n*n), nil }, nil
	}
	results, err := study.Run(context.Background(), study.NewMemory(), "squares", study.Work{Kind: "squares", Units: 5}, squares, 2, nil)
	fmt.Printf("%s %v\n", results, err)
	// Output: [0 1 4 9 16] <nil>
}
