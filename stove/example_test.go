package stove_test

import (
	"fmt"
	"log"

	"stovewright/message"
	"stovewright/stove"
)

// Three numbers from a soft tape give a complete stove.
func ExampleSize() {
	form, err := stove.ParseForm([]byte("pot: {circumference: 75.4 cm, height: 17 cm, handle_height: 13.5 cm}\n"))
	if err != nil {
		log.Fatal(err)
	}
	brief, err := form.Read()
	if err != nil {
		log.Fatal(err)
	}
	s, err := stove.Size(brief)
	if err != nil {
		log.Fatal(err)
	}
	words := message.English()
	for _, id := range []string{"chamber.width", "skirt.gap", "skirt.inner"} {
		d := s.Dimension(id)
		fmt.Printf("%s: %s %s (%s)\n", words.Say(d.Name()), d.Value.Number(), d.Value.Unit.Symbol, d.Origin)
	}
	// Output:
	// Chamber width: 110 mm (rule)
	// Skirt gap: 8.0 mm (rule)
	// Skirt inside diameter: 256.0 mm (rule)
}
