package fire

import (
	"testing"

	"stovewright/bench"
)

// What the troubleshooter asks a boil run is something that it answers.
func TestTroubleAsksWhatIsAnswered(t *testing.T) {
	for _, s := range bench.Symptoms() {
		for _, key := range s.Measures {
			if _, known := MeasureByKey(key); !known {
				t.Errorf("%s asks for %s", s.Key, key)
			}
		}
	}
}
