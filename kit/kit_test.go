package kit

import (
	"testing"

	"stovewright/stove"
)

func sized(t testing.TB, form stove.Form) *stove.Stove {
	t.Helper()
	b, err := form.Read()
	if err != nil {
		t.Fatal(err)
	}
	s, err := stove.Size(b)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// household is an invented pot.
func household() stove.Form {
	return stove.Form{Name: "Invented kitchen", Pot: stove.PotForm{Circumference: "75.4 cm", Height: "17 cm", HandleHeight: "13.5 cm", Fill: "5 L"}}
}

func made(t testing.TB, form stove.Form) *Kit {
	t.Helper()
	k, err := Make(sized(t, form))
	if err != nil {
		t.Fatal(err)
	}
	return k
}
