package workshop

import (
	"bytes"
	"context"
	"testing"
)

func TestUnits(t *testing.T) {
	f := create(t)
	ctx := context.Background()
	for _, u := range []struct {
		study  string
		number int
		result []byte
	}{{"a", 0, []byte("first")}, {"a", 2, nil}, {"a", 0, []byte("again")}, {"b", 0, []byte("other")}} {
		if err := f.KeepUnit(ctx, u.study, u.number, u.result); err != nil {
			t.Fatal(err)
		}
	}
	units, err := f.Units(ctx, "a")
	if err != nil {
		t.Fatal(err)
	}
	if len(units) != 2 || !bytes.Equal(units[0], []byte("first")) || len(units[2]) != 0 {
		t.Errorf("got %v", units)
	}
	if err := f.ForgetUnits(ctx, "a"); err != nil {
		t.Fatal(err)
	}
	if units, _ := f.Units(ctx, "a"); len(units) != 0 {
		t.Errorf("%d units are left", len(units))
	}
	if units, _ := f.Units(ctx, "b"); len(units) != 1 {
		t.Errorf("the other study has %d units", len(units))
	}
	if err := f.KeepUnit(ctx, "a", -1, nil); err == nil {
		t.Error("a unit below 0 was kept")
	}
}
