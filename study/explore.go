package study

import (
	"context"
	"encoding/json"
	"fmt"
	"reflect"
	"time"

	"stovewright/explore"
)

// Crew computes the units of a work: a machine alone, or a team.
type Crew interface {
	// Compute gives the results of all units by number, of a study with this name
	// that may be half done already.
	Compute(ctx context.Context, study string, w Work, told func(Progress)) ([][]byte, error)
	// Forget drops the results of a study.
	Forget(ctx context.Context, study string) error
}

// Alone is one machine that keeps what it computes.
type Alone struct {
	Kept interface {
		Keeper
		ForgetUnits(ctx context.Context, study string) error
	}
	Workers int // 0 for one a processor
}

// Compute is [Run] with the computers of this program.
func (a Alone) Compute(ctx context.Context, study string, w Work, told func(Progress)) ([][]byte, error) {
	return Run(ctx, a.Kept, study, w, Computers()[w.Kind], a.Workers, told)
}

// Forget drops the results of a study.
func (a Alone) Forget(ctx context.Context, study string) error {
	return a.Kept.ForgetUnits(ctx, study)
}

// Compute submits the work and waits for the team, of which somebody must
// [Team.Serve].
func (t *Team) Compute(ctx context.Context, study string, w Work, told func(Progress)) ([][]byte, error) {
	if err := t.Submit(ctx, study, w); err != nil {
		return nil, err
	}
	return t.Wait(ctx, study, told)
}

// explored are the studies of package explore.
var explored = []func() explore.Study{
	func() explore.Study { return new(explore.Global) },
	func() explore.Study { return new(explore.Search) },
	func() explore.Study { return new(explore.Tolerance) },
	func() explore.Study { return new(explore.Calibration) },
	func() explore.Study { return new(explore.Fleet) },
}

// kindOf names a study by its type.
func kindOf(s explore.Study) string { return reflect.TypeOf(s).Elem().Name() }

// Computers compute the studies of package explore, by kind.
func Computers() map[string]Computer {
	list := make(map[string]Computer)
	for _, empty := range explored {
		list[kindOf(empty())] = func(spec []byte) (Unit, error) {
			var c cut
			s := empty()
			c.Study = s
			if err := json.Unmarshal(spec, &c); err != nil {
				return nil, fmt.Errorf("study: %w", err)
			}
			if err := s.Open(); err != nil {
				return nil, err
			}
			return c.unit, nil
		}
	}
	return list
}

// mostCuts is into how many pieces a batch is cut at most: enough to keep many
// machines busy and to lose little when one is switched off, few enough that
// keeping them costs nothing.
const mostCuts = 256

// cut is a batch of a study, some units to a piece. It is what goes to another
// machine.
type cut struct {
	Study explore.Study `json:"study"`
	Size  int           `json:"size"` // units to a piece
}

// unit computes one piece.
func (c *cut) unit(ctx context.Context, number int) ([]byte, error) {
	_, units := c.Study.Batch()
	var list []explore.Values
	for n := number * c.Size; n < min(units, (number+1)*c.Size); n++ {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		list = append(list, c.Study.Unit(n))
	}
	return json.Marshal(list)
}

// Carry works through a study of package explore with a crew. Before each batch
// the study is handed to keep, to be written down; a study that was written down
// and is carried again under the same name goes on where it stopped, with no unit
// computed twice, to the same end bit for bit. Told, where not nil, hears of the
// progress through the batch at hand and the batches before it.
func Carry(ctx context.Context, crew Crew, name string, s explore.Study, keep func(explore.Study) error, told func(explore.Progress)) error {
	if err := s.Open(); err != nil {
		return err
	}
	began := time.Now()
	already, _ := s.Total()
	for {
		if err := keep(s); err != nil {
			return err
		}
		batch, units := s.Batch()
		if units == 0 {
			return nil
		}
		size := (units + mostCuts - 1) / mostCuts
		spec, err := json.Marshal(cut{s, size})
		if err != nil {
			return fmt.Errorf("study: %w", err)
		}
		piece := fmt.Sprintf("%s/%d", name, batch)
		before, total := s.Total()
		results, err := crew.Compute(ctx, piece, Work{Kind: kindOf(s), Spec: spec, Units: (units + size - 1) / size}, func(p Progress) {
			if told != nil {
				done := min(before+p.Done*size, total)
				left := time.Since(began) / time.Duration(max(1, done-already)) * time.Duration(total-done)
				told(explore.Progress{Done: done, Total: total, Left: left})
			}
		})
		if err != nil {
			return err
		}
		if err := take(s, results); err != nil {
			return err
		}
		if err := crew.Forget(ctx, piece); err != nil {
			return err
		}
	}
}

// take hands the results of all pieces to their study.
func take(s explore.Study, pieces [][]byte) error {
	var all []explore.Values
	for _, piece := range pieces {
		var list []explore.Values
		if err := json.Unmarshal(piece, &list); err != nil {
			return fmt.Errorf("study: %w", err)
		}
		all = append(all, list...)
	}
	s.Take(all)
	return nil
}
