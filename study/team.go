package study

import (
	"context"
	_ "embed"
	"encoding/json"
	"errors"
	"fmt"
	"sync"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"
	"github.com/vgarvardt/gue/v5"
	"github.com/vgarvardt/gue/v5/adapter"
	"github.com/vgarvardt/gue/v5/adapter/pgxv5"
)

//go:embed team.sql
var teamTables string

// Team shares studies between machines by way of a PostgreSQL database. Units
// wait in a queue there (library gue); a worker holds its unit in a transaction
// that ends with the result kept and the unit taken off the queue, both or
// neither, so that a worker that is killed leaves its unit to the others and
// no unit is kept twice.
type Team struct {
	pool   *pgxpool.Pool
	client *gue.Client
}

const (
	queue      = "stovewright-units"
	poll       = 200 * time.Millisecond
	mostErrors = 4 // of one unit; then the study has failed
	retryFirst = 500 * time.Millisecond
)

// errNoStudy says that no study of this name was submitted.
var errNoStudy = errors.New("study: no such study in the database")

// Join opens the database of a team by its URL ("postgres://…") and makes the
// tables where they are missing.
func Join(ctx context.Context, url string) (*Team, error) {
	pool, err := pgxpool.New(ctx, url)
	if err != nil {
		return nil, fmt.Errorf("study: %w", err)
	}
	t := &Team{pool: pool}
	if err := t.prepare(ctx); err != nil {
		pool.Close()
		return nil, fmt.Errorf("study: %w", err)
	}
	return t, nil
}

// lockTables keeps two machines from making the tables at the same time.
const lockTables = 0x53746F76

func (t *Team) prepare(ctx context.Context) error {
	err := pgx.BeginFunc(ctx, t.pool, func(tx pgx.Tx) error {
		if _, err := tx.Exec(ctx, `SELECT pg_advisory_xact_lock($1)`, lockTables); err != nil {
			return err
		}
		_, err := tx.Exec(ctx, teamTables)
		return err
	})
	if err != nil {
		return err
	}
	t.client, err = gue.NewClient(pgxv5.NewConnPool(t.pool), gue.WithClientBackoff(func(retries int) time.Duration {
		return retryFirst << min(retries-1, mostErrors)
	}))
	return err
}

// Close leaves the team.
func (t *Team) Close() { t.pool.Close() }

// args is what stands on the queue for a unit.
type args struct {
	Study  string `json:"study"`
	Number int    `json:"number"`
}

// Submit puts the units of a study on the queue. A study of this name that is
// there already is left as it is.
func (t *Team) Submit(ctx context.Context, study string, w Work) error {
	if w.Units < 1 {
		return errUnits
	}
	return pgx.BeginFunc(ctx, t.pool, func(tx pgx.Tx) error {
		tag, err := tx.Exec(ctx, `INSERT INTO study (name, kind, spec, units) VALUES ($1, $2, $3, $4) ON CONFLICT DO NOTHING`,
			study, w.Kind, w.Spec, w.Units)
		if err != nil || tag.RowsAffected() == 0 {
			return err
		}
		jobs := make([]*gue.Job, w.Units)
		for n := range jobs {
			data, err := json.Marshal(args{study, n})
			if err != nil {
				return err
			}
			jobs[n] = &gue.Job{Queue: queue, Type: w.Kind, Args: data}
		}
		return t.client.EnqueueBatchTx(ctx, jobs, pgxv5.NewTx(tx))
	})
}

// Serve computes units of any study of the kinds it knows, on a number of
// goroutines, until the context ends.
func (t *Team) Serve(ctx context.Context, kinds map[string]Computer, workers int) error {
	s := server{team: t, kinds: kinds, ready: make(map[string]Unit)}
	work := gue.WorkMap{}
	for kind := range kinds {
		work[kind] = s.work
	}
	pool, err := gue.NewWorkerPool(t.client, work, max(1, workers), gue.WithPoolQueue(queue), gue.WithPoolPollInterval(poll))
	if err != nil {
		return err
	}
	return pool.Run(ctx)
}

// mostReady is how many studies a machine holds ready: each batch of a long one is a
// study of its own, and is not asked for again when the next has come.
const mostReady = 8

// server is one machine at work for its team.
type server struct {
	team  *Team
	kinds map[string]Computer

	mu    sync.Mutex
	ready map[string]Unit // by study
}

func (s *server) work(ctx context.Context, j *gue.Job) error {
	var a args
	if err := json.Unmarshal(j.Args, &a); err != nil {
		return gue.ErrDiscardJob(err.Error())
	}
	unit, err := s.unitOf(ctx, j.Tx(), a.Study)
	if errors.Is(err, errNoStudy) { // forgotten while its units waited
		return gue.ErrDiscardJob(err.Error())
	}
	var result []byte
	if err == nil {
		result, err = unit.guarded(ctx, a.Number)
	}
	switch {
	case err == nil:
		return keep(ctx, j.Tx(), a, result, "")
	case ctx.Err() != nil:
		return ctx.Err()
	case int(j.ErrorCount)+1 < mostErrors:
		return err
	}
	return keep(ctx, j.Tx(), a, nil, err.Error())
}

// keep writes a result in the transaction that holds the unit; that of a study
// forgotten in the meantime goes nowhere.
func keep(ctx context.Context, tx adapter.Tx, a args, result []byte, failure string) error {
	_, err := tx.Exec(ctx, `INSERT INTO unit (study, number, result, failure) 
		SELECT $1, $2, $3, $4 WHERE EXISTS (SELECT FROM study WHERE name = $1) ON CONFLICT DO NOTHING`,
		a.Study, a.Number, result, failure)
	return err
}

// unitOf reads a study once for all its units. It reads in the transaction of the
// unit at hand: where every connection of the machine holds a unit, waiting for one
// more would wait for ever.
func (s *server) unitOf(ctx context.Context, tx adapter.Tx, study string) (Unit, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if unit := s.ready[study]; unit != nil {
		return unit, nil
	}
	var kind string
	var spec []byte
	err := tx.QueryRow(ctx, `SELECT kind, spec FROM study WHERE name = $1`, study).Scan(&kind, &spec)
	if errors.Is(err, adapter.ErrNoRows) {
		return nil, errNoStudy
	}
	if err != nil {
		return nil, err
	}
	unit, err := s.kinds[kind](spec)
	if err == nil {
		if len(s.ready) >= mostReady {
			clear(s.ready)
		}
		s.ready[study] = unit
	}
	return unit, err
}

// Results gives the results of a study so far, by number, the open ones nil, and
// how many are open. The error is a [*UnitError] where a unit has failed.
func (t *Team) Results(ctx context.Context, study string) (results [][]byte, open int, err error) {
	var units int
	err = t.pool.QueryRow(ctx, `SELECT units FROM study WHERE name = $1`, study).Scan(&units)
	if errors.Is(err, pgx.ErrNoRows) {
		return nil, 0, errNoStudy
	}
	if err != nil {
		return nil, 0, err
	}
	results, open = make([][]byte, units), units
	rows, err := t.pool.Query(ctx, `SELECT number, result, failure FROM unit WHERE study = $1 ORDER BY number`, study)
	if err != nil {
		return nil, 0, err
	}
	var number int
	var result []byte
	var failure string
	_, err = pgx.ForEachRow(rows, []any{&number, &result, &failure}, func() error {
		if failure != "" {
			return &UnitError{number, errors.New(failure)}
		}
		results[number] = append([]byte{}, result...)
		open--
		return nil
	})
	return results, open, err
}

// Wait waits until a study is done and gives its results. Told, where not nil,
// hears of the progress.
func (t *Team) Wait(ctx context.Context, study string, told func(Progress)) ([][]byte, error) {
	began, first := time.Now(), -1
	for {
		results, open, err := t.Results(ctx, study)
		if err != nil || open == 0 {
			return results, err
		}
		done := len(results) - open
		if first < 0 {
			first = done
		}
		if told != nil {
			p := Progress{Done: done, Units: len(results)}
			if fresh := done - first; fresh > 0 {
				p.Left = time.Since(began) / time.Duration(fresh) * time.Duration(open)
			}
			told(p)
		}
		select {
		case <-ctx.Done():
			return results, ctx.Err()
		case <-time.After(poll):
		}
	}
}

// Forget drops a study and its results. Units of it that still wait are thrown
// away by the worker that meets them.
func (t *Team) Forget(ctx context.Context, study string) error {
	_, err := t.pool.Exec(ctx, `DELETE FROM study WHERE name = $1`, study)
	return err
}
