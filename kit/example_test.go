package kit_test

import (
	"fmt"
	"log"

	"stovewright/kit"
	"stovewright/message"
	"stovewright/stove"
)

// From three tape numbers to the list of what is bought. The pot is invented.
func Example() {
	form := stove.Form{Pot: stove.PotForm{Circumference: "75.4 cm", Height: "17 cm", HandleHeight: "13.5 cm"}}
	brief, err := form.Read()
	if err != nil {
		log.Fatal(err)
	}
	s, err := stove.Size(brief)
	if err != nil {
		log.Fatal(err)
	}
	k, err := kit.Make(s)
	if err != nil {
		log.Fatal(err)
	}
	c := message.English()
	for _, id := range []string{"brick.ring", "skirt", "rods"} {
		p := k.Part(id)
		fmt.Println(p.Count, c.Say(p.Name))
	}
	// Output:
	// 10 Ring brick
	// 1 Pot skirt
	// 3 Pot rods
}
