// Package study carries long studies: work that is cut into numbered units, each
// computed once, by whoever comes first, in any order. What is found is the list
// of results in the order of their numbers, so it is the same, bit for bit, with
// one worker or with many, and after any number of interruptions.
//
// On one machine [Run] computes the units and keeps them in the workshop file.
// A [Team] shares them between machines by way of a PostgreSQL database.
//
// The package knows nothing of what is studied: a study is a kind, a
// specification in bytes and a number of units.
package study

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"sync"
	"time"
)

// Work is what is to be done.
type Work struct {
	Kind  string // names the [Computer]
	Spec  []byte // what is studied
	Units int    // they are numbered from 0
}

// Unit computes one unit. The same number must give the same bytes on every
// machine; a unit must come to an end soon after its context does.
type Unit func(ctx context.Context, number int) ([]byte, error)

// Computer makes ready to compute the units of a specification. It is called
// once for each study and worker, and its Unit by several goroutines at once.
type Computer func(spec []byte) (Unit, error)

// Keeper keeps results of units; a workshop file is one. The first result of a
// unit stays.
type Keeper interface {
	KeepUnit(ctx context.Context, study string, number int, result []byte) error
	Units(ctx context.Context, study string) (map[int][]byte, error)
}

// Progress is how far a study has come.
type Progress struct {
	Done, Units int
	Left        time.Duration // at the pace so far; 0 where nothing is known
}

// UnitError says which unit of a study failed.
type UnitError struct {
	Number int
	Err    error
}

// Error tells it in one line.
func (e *UnitError) Error() string { return fmt.Sprintf("study: unit %d: %v", e.Number, e.Err) }

// Unwrap is the cause.
func (e *UnitError) Unwrap() error { return e.Err }

var errUnits = errors.New("study: a study has at least one unit")

// guarded computes a unit. One that breaks down fails its study, not the program,
// in which others are at work too.
func (u Unit) guarded(ctx context.Context, number int) (result []byte, err error) {
	defer func() {
		if cause := recover(); cause != nil {
			result, err = nil, fmt.Errorf("study: the computation broke down: %v", cause)
		}
	}()
	return u(ctx, number)
}

// Run computes the units of a study that are not kept yet, on a number of
// goroutines (0 for one a processor), and keeps each as it is done. It returns
// the results by number. When the context ends before the work does, what is
// done is kept and returned, the rest nil, with the context's error: running it
// again goes on from there. Told, where not nil, hears of each unit, one call at
// a time.
func Run(ctx context.Context, kept Keeper, study string, w Work, compute Computer, workers int, told func(Progress)) ([][]byte, error) {
	if w.Units < 1 {
		return nil, errUnits
	}
	unit, err := compute(w.Spec)
	if err != nil {
		return nil, err
	}
	done, err := kept.Units(ctx, study)
	if err != nil {
		return nil, err
	}
	r := runner{kept: kept, study: study, unit: unit, told: told, began: time.Now(), results: make([][]byte, w.Units)}
	var open []int
	for n := range w.Units {
		if result, ok := done[n]; ok {
			r.results[n] = result
			r.before++
			continue
		}
		open = append(open, n)
	}
	if workers < 1 {
		workers = runtime.GOMAXPROCS(0)
	}
	r.all(ctx, open, min(workers, len(open)))
	return r.results, r.err
}

// runner is a study under way on this machine.
type runner struct {
	kept  Keeper
	study string
	unit  Unit
	told  func(Progress)
	began time.Time

	mu            sync.Mutex
	results       [][]byte
	before, fresh int // units kept from earlier, and done now
	err           error
}

func (r *runner) all(ctx context.Context, open []int, workers int) {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	numbers := make(chan int)
	var group sync.WaitGroup
	for range workers {
		group.Go(func() {
			for n := range numbers {
				if err := r.one(ctx, n); err != nil {
					r.fail(err)
					stop()
				}
			}
		})
	}
	for _, n := range open {
		select {
		case numbers <- n:
			continue
		case <-ctx.Done():
			r.fail(ctx.Err())
		}
		break
	}
	close(numbers)
	group.Wait()
}

func (r *runner) one(ctx context.Context, n int) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	result, err := r.unit.guarded(ctx, n)
	if err != nil {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		return &UnitError{n, err}
	}
	// a unit that is done is kept even where the user has just said stop
	if err := r.kept.KeepUnit(context.WithoutCancel(ctx), r.study, n, result); err != nil {
		return err
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	r.results[n] = result
	r.fresh++
	if r.told != nil {
		p := Progress{Done: r.before + r.fresh, Units: len(r.results)}
		p.Left = time.Since(r.began) / time.Duration(r.fresh) * time.Duration(p.Units-p.Done)
		r.told(p)
	}
	return nil
}

// fail keeps the first cause.
func (r *runner) fail(err error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.err == nil {
		r.err = err
	}
}
