package brick

import (
	"strings"
	"testing"

	"stovewright/message"
)

const dropped = `name: dropped
materials: [{name: clay, kind: clay}]
trials:
  - name: T1
    mix: [{material: clay, amount: 900 g}]
    water: 300 g
    bricks:
      - {drop: 100 cm, broke: no}
      - {drop: 150 cm, broke: yes}
      - {crushing: 1.2 MPa}
`

// Drops of a sheet come to the trial as they were written; one without its end
// is asked for.
func TestDropsOfASheet(t *testing.T) {
	form, err := ParseSeries([]byte(dropped))
	if err != nil {
		t.Fatal(err)
	}
	s, err := form.Read()
	if err != nil {
		t.Fatal(err)
	}
	drops := s.Trials[0].Drops()
	if len(drops) != 2 || drops[0] != (Drop{1, false}) || drops[1] != (Drop{1.5, true}) {
		t.Errorf("got %v", drops)
	}
	form, err = ParseSeries([]byte(strings.Replace(dropped, ", broke: no", "", 1)))
	if err != nil {
		t.Fatal(err)
	}
	_, err = form.Read()
	complaints, _ := message.Complaints(err)
	if len(complaints) != 1 || !strings.HasSuffix(complaints[0].Field, "trials[1].bricks[1].broke") {
		t.Errorf("a drop without its end gave %v", err)
	}
}
