package explore

import (
	"context"
	"encoding/json"
	"math"
	"runtime"
	"sync"
	"sync/atomic"
	"time"
)

// Values are the results of one unit of work. NaN stands for "none"; in JSON it
// is null.
type Values []float64

// MarshalJSON writes the values, those that are not finite as null.
func (v Values) MarshalJSON() ([]byte, error) {
	list := make([]*float64, len(v))
	for i := range v {
		if !math.IsNaN(v[i]) && !math.IsInf(v[i], 0) {
			list[i] = &v[i]
		}
	}
	return json.Marshal(list)
}

// UnmarshalJSON reads what MarshalJSON wrote; null becomes NaN.
func (v *Values) UnmarshalJSON(data []byte) error {
	var list []*float64
	if err := json.Unmarshal(data, &list); err != nil {
		return err
	}
	*v = make(Values, len(list))
	for i, x := range list {
		(*v)[i] = math.NaN()
		if x != nil {
			(*v)[i] = *x
		}
	}
	return nil
}

// Study is a long computation in batches. The units of the batch at hand do not
// depend on each other; the next batch may depend on all results of this one. A
// study is a value that JSON keeps without loss: to go on after a stop, read it
// back and run it again.
type Study interface {
	// Open makes a study that was read back ready for work; [Run] calls it. The
	// error is a message.InputErrors where a brief is at fault.
	Open() error
	// Batch is the number of the batch at hand, from 0, and of its units; no
	// units mean that the study is done.
	Batch() (number, units int)
	// Unit computes one unit of the batch at hand. It changes nothing, so that
	// several may be computed at once, here or on another machine.
	Unit(unit int) Values
	// Take takes the results of the whole batch in the order of its units and
	// goes on to the next batch.
	Take(results []Values)
	// Total is how many units the study has in all, as far as it knows, and how
	// many are done.
	Total() (done, total int)
}

// Progress tells how far a study is.
type Progress struct {
	Done, Total int
	Left        time.Duration // at the pace so far; 0 while unknown
}

// Run works through a study with a number of workers, 0 for one a processor.
// Watch, when not nil, is told after every unit, from one goroutine at a time. A
// cancelled context stops it between units: the study is then as it was after its
// last whole batch, and Run on it again goes on from there to the same end. The
// error is that of the context, or of opening the study.
func Run(ctx context.Context, s Study, workers int, watch func(Progress)) error {
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	if err := s.Open(); err != nil {
		return err
	}
	began := time.Now()
	already, _ := s.Total()
	for {
		_, n := s.Batch()
		if n == 0 {
			return ctx.Err()
		}
		before, total := s.Total()
		results, err := batch(ctx, s, n, workers, func(done int) {
			if watch != nil {
				watch(progress(before+done, total, before+done-already, time.Since(began)))
			}
		})
		if err != nil {
			return err
		}
		s.Take(results)
	}
}

func progress(done, total, ours int, elapsed time.Duration) Progress {
	p := Progress{Done: done, Total: total}
	if ours > 0 && total > done {
		p.Left = time.Duration(float64(elapsed) / float64(ours) * float64(total-done))
	}
	return p
}

// batch computes the units of one batch.
func batch(ctx context.Context, s Study, n, workers int, tell func(done int)) ([]Values, error) {
	results := make([]Values, n)
	var next, stopped atomic.Int64
	var done int
	var mutex sync.Mutex
	var wait sync.WaitGroup
	for range min(workers, n) {
		wait.Add(1)
		go func() {
			defer wait.Done()
			for {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				if ctx.Err() != nil {
					stopped.Store(1)
					return
				}
				results[i] = s.Unit(i)
				mutex.Lock()
				done++
				tell(done)
				mutex.Unlock()
			}
		}()
	}
	wait.Wait()
	if stopped.Load() != 0 {
		return nil, ctx.Err()
	}
	return results, nil
}

// each runs work for 0 to n-1 on all processors, for answers that are wanted at
// once. Each index writes only its own result.
func each(n int, work func(i int)) {
	workers := min(runtime.GOMAXPROCS(0), n)
	var next atomic.Int64
	var wait sync.WaitGroup
	for range workers {
		wait.Add(1)
		go func() {
			defer wait.Done()
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				work(i)
			}
		}()
	}
	wait.Wait()
}
