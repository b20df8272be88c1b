package study_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"reflect"
	"testing"
	"time"

	"stovewright/explore"
	"stovewright/fire"
	"stovewright/stove"
	"stovewright/study"
)

// household is an invented brief.
var household = stove.Form{Pot: stove.PotForm{Circumference: "75.4 cm", Height: "17 cm", HandleHeight: "13.5 cm"}}

// studies are small ones of every kind.
func studies(t *testing.T) map[string]func() explore.Study {
	t.Helper()
	subject := explore.Subject{Form: household, Coefficients: fire.Defaults()}
	sized, err := subject.Stove()
	if err != nil {
		t.Fatal(err)
	}
	return map[string]func() explore.Study{
		"global": func() explore.Study {
			g, err := explore.NewGlobal(subject, explore.ChosenInputs(sized, 0.1)[:3], 64, 2, 1)
			if err != nil {
				t.Fatal(err)
			}
			return g
		},
		"search": func() explore.Study {
			s, err := explore.NewSearch(subject, explore.UsualLimits(sized.Brief), explore.Prices{}, 8, 3, 1)
			if err != nil {
				t.Fatal(err)
			}
			return s
		},
	}
}

func text(t *testing.T, s explore.Study) []byte {
	t.Helper()
	data, err := json.Marshal(s)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func ignore(explore.Study) error { return nil }

// A study carried by one machine with any number of workers, or stopped, written
// down, read back and carried on, ends as one that explore runs by itself.
func TestCarriedStudiesEndTheSame(t *testing.T) {
	ctx := context.Background()
	for name, fresh := range studies(t) {
		want := fresh()
		if err := explore.Run(ctx, want, 1, nil); err != nil {
			t.Fatal(err)
		}
		for _, workers := range []int{1, 3} {
			s := fresh()
			if err := study.Carry(ctx, study.Alone{Kept: study.NewMemory(), Workers: workers}, name, s, ignore, nil); err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(text(t, s), text(t, want)) {
				t.Errorf("%s ends differently with %d workers", name, workers)
			}
		}
		if got := interrupted(t, name, fresh); !bytes.Equal(got, text(t, want)) {
			t.Errorf("%s ends differently when it is interrupted:\n%.3000s\n%.3000s", name, got, text(t, want))
		}
	}
}

// interrupted stops a study after every few units, as a laptop that is closed
// again and again.
func interrupted(t *testing.T, name string, fresh func() explore.Study) []byte {
	t.Helper()
	kept := study.NewMemory()
	written := text(t, fresh())
	for stops := 0; ; stops++ {
		s := reflect.New(reflect.TypeOf(fresh()).Elem()).Interface().(explore.Study)
		if err := json.Unmarshal(written, s); err != nil {
			t.Fatal(err)
		}
		ctx, stop := context.WithCancel(context.Background())
		heard := 0
		err := study.Carry(ctx, study.Alone{Kept: kept, Workers: 2}, name, s,
			func(s explore.Study) error { written = text(t, s); return nil },
			func(explore.Progress) {
				if heard++; heard == 5 {
					stop()
				}
			})
		stop()
		switch {
		case err == nil && stops == 0:
			t.Error("the study was never interrupted")
			return written
		case err == nil:
			return written
		case !errors.Is(err, context.Canceled):
			t.Fatal(err)
		case stops > 500:
			t.Fatal("the study comes to no end")
		}
	}
}

func TestTeamCarriesAStudy(t *testing.T) {
	url := database(t)
	ctx, stop := context.WithTimeout(context.Background(), 60*time.Second)
	defer stop()
	team := joinTeam(t, url)
	for range 2 {
		other := joinTeam(t, url)
		go other.Serve(ctx, study.Computers(), 1)
	}
	for name, fresh := range studies(t) {
		want, got := fresh(), fresh()
		if err := explore.Run(ctx, want, 1, nil); err != nil {
			t.Fatal(err)
		}
		if err := study.Carry(ctx, team, name, got, ignore, nil); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(text(t, got), text(t, want)) {
			t.Errorf("a team ends %s differently", name)
		}
	}
}

// The time left is that of the whole study, not of the batch at hand: it is zero
// at the very end alone.
func TestTimeLeftIsOfTheWholeStudy(t *testing.T) {
	for name, fresh := range studies(t) {
		told := 0
		err := study.Carry(context.Background(), study.Alone{Kept: study.NewMemory(), Workers: 1}, name, fresh(), ignore, func(p explore.Progress) {
			told++
			if (p.Left <= 0) != (p.Done == p.Total) {
				t.Errorf("%s: %v left after %d of %d", name, p.Left, p.Done, p.Total)
			}
		})
		if err != nil || told == 0 {
			t.Fatal(err, told)
		}
	}
}
