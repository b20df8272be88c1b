package form_test

import (
	"fmt"

	"stovewright/internal/form"
)

type pot struct {
	Circumference string `yaml:"circumference"`
	Fill          string `yaml:"fill,omitempty"`
}

func Example() {
	var p pot
	fmt.Println(form.Decode([]byte("circumference: 075,4 cm\nfil: 5 L\n"), &p))
	fmt.Println(p.Circumference)
	// Output:
	// fil: "5 L": line 2: there is no such field; allowed: circumference, fill (try: fill:)
	// 075,4 cm
}
