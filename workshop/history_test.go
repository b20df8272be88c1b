package workshop

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"stovewright/message"
)

func TestSave(t *testing.T) {
	ctx := context.Background()
	f := create(t)
	ada, ben := By{Who: "Ada", Why: "measured with the tape"}, By{Who: "Ben"}
	r1 := save(t, f, Edit{Kind: "pot", Name: "big pot", Content: []byte("circumference: 75.4 cm\n"), By: ada})
	want := Revision{ID: r1.ID, Record: r1.Record, Number: 1, Action: Edited, Who: "Ada", Why: "measured with the tape",
		At: time.Date(2026, 3, 1, 8, 0, 1, 0, time.UTC), Name: "big pot",
		Document: hash([]byte("circumference: 75.4 cm\n")), Content: []byte("circumference: 75.4 cm\n")}
	if d := cmp.Diff(want, r1); d != "" {
		t.Error(d)
	}
	rec, err := f.Get(ctx, r1.Record)
	if d := cmp.Diff(Record{ID: r1.Record, Kind: "pot", Head: want}, rec, cmp.Transformer("len", func(a []Attachment) int { return len(a) })); err != nil || d != "" {
		t.Error(err, d)
	}
	r2 := save(t, f, Edit{Record: r1.Record, Base: r1.ID, Name: "big pot", Content: []byte("circumference: 76 cm\n"), By: ben})
	if r2.Number != 2 || r2.Parent != r1.ID {
		t.Errorf("the second revision is %+v", r2)
	}
	// The same save again, as after a lost answer, is the same revision.
	if again := save(t, f, Edit{Record: r1.Record, Base: r1.ID, Name: "big pot", Content: []byte("circumference: 76 cm\n"), By: ben}); again.ID != r2.ID {
		t.Errorf("saving again made revision %s", again.ID)
	}
	_, err = f.Save(ctx, Edit{Record: r1.Record, Base: r1.ID, Name: "big pot", Content: []byte("circumference: 80 cm\n"), By: ada})
	var conflict *ConflictError
	if !errors.As(err, &conflict) || conflict.Head.ID != r2.ID || conflict.Head.Who != "Ben" {
		t.Fatalf("saving on an old revision gave %v", err)
	}
	if words := said(t, err); !strings.Contains(words, "Ben changed “big pot”") {
		t.Errorf("a conflict says %q", words)
	}
	changes, err := f.Changes(ctx, r2.ID)
	if d := cmp.Diff([]Change{{Part: FieldPart, Field: "circumference", Old: "75.4 cm", New: "76 cm"}}, changes); err != nil || d != "" {
		t.Error(err, d)
	}
	history, err := f.History(ctx, r1.Record)
	if err != nil || len(history) != 2 || history[0].ID != r2.ID || history[1].ID != r1.ID {
		t.Errorf("the history is %v, %v", history, err)
	}
}

func TestSaveRefuses(t *testing.T) {
	ctx := context.Background()
	f := create(t)
	r := save(t, f, Edit{Name: "pot"})
	stove := save(t, f, Edit{Kind: "stove", Name: "stove"})
	for name, e := range map[string]Edit{
		"name not text":   {Kind: "pot", Name: "\xff"},
		"name too long":   {Kind: "pot", Name: strings.Repeat("é", MaxText)},
		"who not text":    {Kind: "pot", By: By{Who: "\xff"}},
		"why not text":    {Kind: "pot", By: By{Why: "\xff"}},
		"document larger": {Kind: "pot", Content: make([]byte, MaxDocument+1)},
	} {
		_, err := f.Save(ctx, e)
		if list, ok := message.Complaints(err); !ok || strings.Contains(list.Error(), "«") {
			t.Errorf("%s: %v", name, err)
		}
	}
	for name, e := range map[string]Edit{
		"no record":         {Record: NewID(), Base: r.ID, Name: "x"},
		"no such id can be": {Record: "../../etc", Kind: "pot"},
		"no base":           {Record: r.Record, Base: strings.Repeat("0", 32), Name: "x"},
		"no record at all":  {Base: r.ID, Name: "x"},
	} {
		if _, err := f.Save(ctx, e); !errors.Is(err, ErrNotFound) {
			t.Errorf("%s: %v", name, err)
		} else {
			said(t, err)
		}
	}
	if _, err := f.Save(ctx, Edit{Record: r.Record, Base: stove.ID, Name: "pot 2"}); !errors.As(err, new(*ConflictError)) {
		t.Errorf("saving on a revision of another record gave %v", err)
	}
	for _, kind := range []string{"", "Pot", "a/b", "..", "con", "com1", "é", strings.Repeat("x", 33), "-x", "1x"} {
		if _, err := f.Save(ctx, Edit{Kind: kind, Name: "x"}); err == nil {
			t.Errorf("kind %q was taken", kind)
		}
	}
	if list, _ := f.List(ctx, Filter{}); len(list) != 2 {
		t.Errorf("refused saves left %d records", len(list))
	}
}

func TestList(t *testing.T) {
	ctx := context.Background()
	f := create(t)
	for _, e := range []Edit{{Kind: "stove", Name: "a"}, {Kind: "pot", Name: "b"}, {Kind: "pot", Name: "a"}} {
		save(t, f, e)
	}
	gone := save(t, f, Edit{Kind: "pot", Name: "gone"})
	if _, err := f.Delete(ctx, gone.Record, gone.ID, By{}); err != nil {
		t.Fatal(err)
	}
	for filter, want := range map[Filter]string{
		{}: "pot a, pot b, stove a", {Kind: "pot"}: "pot a, pot b", {Kind: "pot", Deleted: true}: "pot gone",
		{Deleted: true}: "pot gone", {Kind: "test"}: "",
	} {
		list, err := f.List(ctx, filter)
		var got []string
		for _, r := range list {
			got = append(got, r.Kind+" "+r.Head.Name)
		}
		if err != nil || strings.Join(got, ", ") != want {
			t.Errorf("%+v lists %q, %v, want %q", filter, got, err, want)
		}
	}
	if list, err := f.History(ctx, "nothing"); !errors.Is(err, ErrNotFound) {
		t.Errorf("the history of nothing is %v, %v", list, err)
	}
}

func TestDelete(t *testing.T) {
	ctx := context.Background()
	f := create(t)
	by := By{Who: "Ada", Why: "dropped"}
	r := save(t, f, Edit{Name: "pot", Content: []byte("a: 1\n")})
	if got, err := f.Undelete(ctx, r.Record, by); err != nil || got.ID != r.ID {
		t.Errorf("undeleting a living record gave %v, %v", got, err)
	}
	d, err := f.Delete(ctx, r.Record, r.ID, by)
	if err != nil || !d.Deleted || d.Action != Deleted || d.Who != "Ada" {
		t.Fatalf("deleting gave %+v, %v", d, err)
	}
	if again, err := f.Delete(ctx, r.Record, r.ID, by); err != nil || again.ID != d.ID {
		t.Errorf("deleting again gave %+v, %v", again, err)
	}
	_, err = f.Save(ctx, Edit{Record: r.Record, Base: r.ID, Name: "pot", Content: []byte("a: 2\n")})
	if !errors.As(err, new(*ConflictError)) || !strings.Contains(said(t, err), "Ada deleted") {
		t.Errorf("saving a record deleted meanwhile gave %v", err)
	}
	u, err := f.Undelete(ctx, r.Record, by)
	if err != nil || u.Deleted || string(u.Content) != "a: 1\n" || u.Action != Restored || u.Restores != r.ID {
		t.Errorf("undeleting gave %+v, %v", u, err)
	}
	r2 := save(t, f, Edit{Record: r.Record, Base: u.ID, Name: "pot", Content: []byte("a: 2\n")})
	if _, err := f.Delete(ctx, r.Record, u.ID, by); !errors.As(err, new(*ConflictError)) {
		t.Errorf("deleting what was changed meanwhile gave %v", err)
	}
	r3, err := f.Restore(ctx, r.Record, r2.ID, d.ID, by) // the tombstone itself
	if err != nil || !r3.Deleted {
		t.Errorf("restoring a deletion gave %+v, %v", r3, err)
	}
	// Saving on the deletion brings the record back.
	if r4 := save(t, f, Edit{Record: r.Record, Base: r3.ID, Name: "pot", Content: []byte("a: 3\n")}); r4.Deleted {
		t.Error("the record is deleted still")
	}
	if err := f.Check(ctx); err != nil {
		t.Error(err)
	}
}

// TestUndoExample walks the example in history.go.
func TestUndoExample(t *testing.T) {
	ctx := context.Background()
	f := create(t)
	head := save(t, f, Edit{Name: "1"})
	edit := func(name string) { head = save(t, f, Edit{Record: head.Record, Base: head.ID, Name: name}) }
	step := func(do func(context.Context, string, string, By) (Revision, error), want string) {
		t.Helper()
		r, err := do(ctx, head.Record, head.ID, By{Who: "Ada"})
		if err != nil || r.Name != want {
			t.Fatalf("got %q, %v, want %q", r.Name, err, want)
		}
		head = r
	}
	edit("2")
	edit("3")
	step(f.Undo, "2")
	step(f.Undo, "1")
	if _, err := f.Undo(ctx, head.Record, head.ID, By{}); !errors.Is(err, ErrNothingTo) {
		t.Errorf("undoing the first state gave %v", err)
	} else {
		said(t, err)
	}
	step(f.Redo, "2")
	edit("7")
	if _, err := f.Redo(ctx, head.Record, head.ID, By{}); !errors.Is(err, ErrNothingTo) {
		t.Errorf("redoing after an edit gave %v", err)
	}
	step(f.Undo, "2")
	step(f.Undo, "1")
	step(f.Redo, "2")
	step(f.Redo, "7")
	if _, err := f.Undo(ctx, head.Record, head.Parent, By{}); !errors.As(err, new(*ConflictError)) {
		t.Errorf("undoing on an old revision gave %v", err)
	}
}

// TestUndoLikeAnEditor compares undo and redo with the plainest model of them:
// a list of states and a position in it.
func TestUndoLikeAnEditor(t *testing.T) {
	ctx := context.Background()
	f := create(t)
	hasten(t, f)
	type state struct {
		name    string
		deleted bool
	}
	rapid.Check(t, func(t *rapid.T) {
		head, err := f.Save(ctx, Edit{Kind: "note", Name: "start"})
		if err != nil {
			t.Fatal(err)
		}
		states, at := []state{{"start", false}}, 0
		all := []Revision{head}
		push := func(s state) {
			if s != states[at] {
				states = append(slices.Clip(states[:at+1]), s)
				at++
			}
		}
		step := func(do func(context.Context, string, string, By) (Revision, error), to int) {
			r, err := do(ctx, head.Record, head.ID, By{})
			if to < 0 || to >= len(states) {
				if !errors.Is(err, ErrNothingTo) {
					t.Fatalf("at the end: %v", err)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			head, at = r, to
		}
		for range rapid.IntRange(1, 25).Draw(t, "steps") {
			switch rapid.SampledFrom([]string{"edit", "edit", "undo", "undo", "redo", "delete", "undelete", "restore"}).Draw(t, "step") {
			case "edit":
				name := fmt.Sprint(rapid.IntRange(0, 5).Draw(t, "name"))
				head, err = f.Save(ctx, Edit{Record: head.Record, Base: head.ID, Name: name})
				push(state{name, false})
			case "undo":
				step(f.Undo, at-1)
			case "redo":
				step(f.Redo, at+1)
			case "delete":
				head, err = f.Delete(ctx, head.Record, head.ID, By{})
				push(state{head.Name, true})
			case "undelete":
				if head, err = f.Undelete(ctx, head.Record, By{}); err == nil && states[at].deleted {
					push(state{head.Name, false})
				}
			case "restore":
				r := rapid.SampledFrom(all).Draw(t, "which")
				head, err = f.Restore(ctx, head.Record, head.ID, r.ID, By{})
				states = append(slices.Clip(states[:at+1]), state{r.Name, r.Deleted}) // even if it changes nothing
				at++
			}
			if err != nil {
				t.Fatal(err)
			}
			all = append(all, head)
			if got := (state{head.Name, head.Deleted}); got != states[at] {
				t.Fatalf("the record shows %v, the model %v", got, states[at])
			}
			undo, redo, err := f.Steps(ctx, head.Record)
			if err != nil || (undo != nil) != (at > 0) || (redo != nil) != (at+1 < len(states)) {
				t.Fatalf("Steps gives %v, %v, %v at %d of %d", undo, redo, err, at, len(states))
			}
			if redo != nil && (state{redo.Name, redo.Deleted}) != states[at+1] {
				t.Fatalf("redo would show %v, the model %v", redo, states[at+1])
			}
		}
		// Nothing was ever lost.
		history, err := f.History(ctx, head.Record)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range all {
			if !slices.ContainsFunc(history, func(h Revision) bool { return h.ID == r.ID }) {
				t.Fatalf("revision %v is gone", r)
			}
		}
	})
	if err := f.Check(ctx); err != nil {
		t.Error(err)
	}
}

func TestDrafts(t *testing.T) {
	ctx := context.Background()
	f := create(t)
	now := time.Date(2026, 3, 1, 8, 0, 0, 0, time.UTC)
	f.Now = func() time.Time { return now }
	id := NewID()
	draft := func(who, form, base, content string) error {
		now = now.Add(100 * time.Millisecond)
		return f.SaveDraft(ctx, Draft{Form: form, Edit: Edit{Record: id, Kind: "pot", Base: base, Name: "pot", Content: []byte(content), By: By{Who: who}}})
	}
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	settle := func(idle time.Duration, want ...string) (ids []string) {
		t.Helper()
		list, err := f.Settle(ctx, idle)
		must(err)
		var got []string
		for _, r := range list {
			got, ids = append(got, string(r.Content)), append(ids, r.ID)
		}
		if !slices.Equal(got, want) {
			t.Fatalf("settled %q, want %q", got, want)
		}
		return ids
	}

	// A new record, typed key by key, is one revision dated at the last key.
	for _, content := range []string{"", "h", "h: ", "h: 2", "h: 20"} {
		must(draft("Ada", "1", "", content))
	}
	settle(3 * time.Second)
	last := now
	now = now.Add(3 * time.Second)
	r1 := settle(3*time.Second, "h: 20")[0]
	if r, err := f.Revision(ctx, r1); err != nil || !r.At.Equal(last) || r.Number != 1 || r.Who != "Ada" {
		t.Errorf("the settled revision is %+v, %v", r, err)
	}
	settle(0)

	// The form does not know that its draft was settled and goes on.
	must(draft("Ada", "1", "", "h: 201"))
	must(draft("Ada", "1", "", "h: 21"))
	r2 := settle(0, "h: 21")[0]
	if r, _ := f.Revision(ctx, r2); r.Parent != r1 || r.Number != 2 {
		t.Errorf("going on made %+v", r)
	}

	// Typing and taking it back makes no revision.
	must(draft("Ada", "1", "", "h: 2"))
	must(draft("Ada", "1", "", "h: 21"))
	settle(0, "h: 21")
	if h, _ := f.History(ctx, id); len(h) != 2 {
		t.Errorf("typing and taking back made %d revisions", len(h))
	}

	// A second window of the same author, and another author, opened on r2.
	must(draft("Ada", "2", r2, "h: 22"))
	must(draft("Ben", "1", r2, "h: 23"))
	list, err := f.Drafts(ctx, id)
	if err != nil || len(list) != 2 || list[0].Who != "Ada" || string(list[1].Content) != "h: 23" || list[1].Base != r2 {
		t.Fatalf("the drafts are %+v, %v", list, err)
	}
	settled, err := f.Settle(ctx, 0)
	var conflict *ConflictError
	if len(settled) != 1 || string(settled[0].Content) != "h: 22" || !errors.As(err, &conflict) || conflict.Head.Who != "Ada" {
		t.Fatalf("settling two drafts on one base gave %v, %v", settled, err)
	}
	// Ben goes on typing: he is told, and his keys are kept.
	if err := draft("Ben", "1", r2, "h: 233"); !errors.As(err, new(*ConflictError)) {
		t.Errorf("typing over a conflict gave %v", err)
	}
	if list, _ := f.Drafts(ctx, ""); len(list) != 1 || string(list[0].Content) != "h: 233" {
		t.Errorf("the draft in conflict is %+v", list)
	}
	// He looks at both and puts his on top.
	must(draft("Ben", "1", settled[0].ID, "h: 233"))
	r4 := settle(0, "h: 233")[0]

	// Ada drops hers: it is found in the history, but does not stand.
	must(draft("Ada", "3", r4, "h: 99"))
	must(f.DropDraft(ctx, id, "Ada", "3"))
	if err := f.DropDraft(ctx, id, "Ada", "3"); !errors.Is(err, ErrNotFound) {
		t.Errorf("dropping a draft twice gave %v", err)
	} else {
		said(t, err)
	}
	rec, _ := f.Get(ctx, id)
	history, _ := f.History(ctx, id)
	aside := history[0]
	if rec.Head.ID != r4 || aside.Document != hash([]byte("h: 99")) || aside.Parent != r4 {
		t.Errorf("after dropping: head %s, newest %+v", rec.Head.ID, aside)
	}
	r5, err := f.Restore(ctx, id, r4, aside.ID, By{Who: "Ada"})
	if err != nil || string(r5.Content) != "h: 99" {
		t.Errorf("restoring what was dropped gave %+v, %v", r5, err)
	}

	// The clock is set back: the draft is settled all the same.
	must(draft("Ada", "4", r5.ID, "h: 100"))
	now = now.AddDate(-56, 0, 0)
	settle(3*time.Second, "h: 100")

	// Old rows of settled drafts go away; pending ones never.
	now = now.AddDate(57, 0, 0)
	if err := draft("Ada", "5", "", "h: 7"); !errors.As(err, new(*ConflictError)) { // opened on nothing
		t.Errorf("typing a new record over an old one gave %v", err)
	}
	now = now.AddDate(1, 0, 0)
	_, _ = f.Settle(ctx, 0)
	var rows int
	must(f.read.QueryRow(`SELECT count(*) FROM draft`).Scan(&rows))
	if rows != 1 {
		t.Errorf("%d rows of drafts are left", rows)
	}
	must(f.Check(ctx))
}

func TestDraftRefuses(t *testing.T) {
	ctx := context.Background()
	f := create(t)
	id := NewID()
	if err := f.SaveDraft(ctx, Draft{Edit: Edit{Record: id, Kind: "pot"}}); err != nil {
		t.Fatal(err)
	}
	for name, d := range map[string]Draft{
		"no record":      {Edit: Edit{Kind: "pot"}},
		"no kind":        {Edit: Edit{Record: NewID()}},
		"two kinds":      {Edit: Edit{Record: id, Kind: "stove"}, Form: "2"},
		"unknown base":   {Edit: Edit{Record: id, Kind: "pot", Base: strings.Repeat("0", 32)}},
		"form not text":  {Edit: Edit{Record: id, Kind: "pot"}, Form: "\xff"},
		"content larger": {Edit: Edit{Record: id, Kind: "pot", Content: make([]byte, MaxDocument+1)}},
	} {
		if err := f.SaveDraft(ctx, d); err == nil {
			t.Errorf("%s: was kept", name)
		}
	}
	if list, err := f.Settle(ctx, 0); err != nil || len(list) != 1 {
		t.Errorf("settled %v, %v", list, err)
	}
	// A record never saved goes with its draft.
	id = NewID()
	if err := f.SaveDraft(ctx, Draft{Edit: Edit{Record: id, Kind: "pot"}}); err != nil {
		t.Fatal(err)
	}
	if err := f.DropDraft(ctx, id, "", ""); err != nil {
		t.Fatal(err)
	}
	if _, err := f.Get(ctx, id); !errors.Is(err, ErrNotFound) {
		t.Errorf("a dropped new record gives %v", err)
	}
}

func TestCancelled(t *testing.T) {
	f := create(t)
	r := save(t, f, Edit{Name: "pot"})
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := f.Save(ctx, Edit{Kind: "pot", Name: "x"}); !errors.Is(err, context.Canceled) {
		t.Errorf("saving gave %v", err)
	}
	if _, err := f.Get(ctx, r.Record); !errors.Is(err, context.Canceled) {
		t.Errorf("getting gave %v", err)
	}
	if err := f.Export(ctx, filepath.Join(t.TempDir(), "out")); !errors.Is(err, context.Canceled) {
		t.Errorf("exporting gave %v", err)
	}
	if list, err := f.List(context.Background(), Filter{}); err != nil || len(list) != 1 {
		t.Errorf("the list is %v, %v", list, err)
	}
}
