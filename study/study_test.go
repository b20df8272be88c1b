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

// memory is a keeper for tests.
type memory struct {
	units map[int][]byte
	lock  chan struct{}
	fails error
}

func newMemory() *memory { return &memory{units: map[int][]byte{}, lock: make(chan struct{}, 1)} }

func (m *memory) KeepUnit(_ context.Context, _ string, n int, result []byte) error {
	m.lock <- struct{}{}
	defer func() { <-m.lock }()
	if _, ok := m.units[n]; !ok {
		m.units[n] = result
	}
	return m.fails
}

func (m *memory) Units(context.Context, string) (map[int][]byte, error) { return m.units, nil }

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
	one, err := study.Run(context.Background(), newMemory(), "s", work, mixed, 1, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, workers := range []int{0, 2, 7, 100} {
		many, err := study.Run(context.Background(), newMemory(), "s", work, mixed, workers, nil)
		if err != nil || !bytes.Equal(join(one), join(many)) {
			t.Errorf("%d workers: %v", workers, err)
		}
	}
}

func TestAnInterruptedStudyGoesOn(t *testing.T) {
	kept := newMemory()
	ctx, stop := context.WithCancel(context.Background())
	last := study.Progress{}
	_, err := study.Run(ctx, kept, "s", work, mixed, 2, func(p study.Progress) {
		if last = p; p.Done == 11 {
			stop()
		}
	})
	if !errors.Is(err, context.Canceled) || last.Done < 11 || last.Done == work.Units || len(kept.units) != last.Done {
		t.Fatalf("stopped with %v after %d units, %d kept", err, last.Done, len(kept.units))
	}
	before := len(kept.units)
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
	whole, _ := study.Run(context.Background(), newMemory(), "s", work, mixed, 2, nil)
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
	if _, err := study.Run(ctx, newMemory(), "s", work, failing, 4, nil); !errors.As(err, &unit) || unit.Number != 3 || !errors.Is(err, broken) {
		t.Errorf("a failing unit gave %v", err)
	}
	full := newMemory()
	full.fails = broken
	if _, err := study.Run(ctx, full, "s", work, mixed, 1, nil); !errors.Is(err, broken) {
		t.Errorf("a full disk gave %v", err)
	}
	if _, err := study.Run(ctx, newMemory(), "s", study.Work{}, mixed, 1, nil); err == nil {
		t.Error("a study without units ran")
	}
	if _, err := study.Run(ctx, newMemory(), "s", work, func([]byte) (study.Unit, error) { return nil, broken }, 1, nil); !errors.Is(err, broken) {
		t.Errorf("a specification that cannot be read gave %v", err)
	}
}

func ExampleRun() {
	squares := func([]byte) (study.Unit, error) {
		return func(_ context.Context, n int) ([]byte, error) { return fmt.Append(nil, n*n), nil }, nil
	}
	results, err := study.Run(context.Background(), newMemory(), "squares", study.Work{Kind: "squares", Units: 5}, squares, 2, nil)
	fmt.Printf("%s %v\n", results, err)
	// Output: [0 1 4 9 16] <nil>
}
