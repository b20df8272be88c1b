package heat

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"math"
	"sort"
)

//go:embed burns.json
var burnsFile []byte

var burns = func() (table struct {
	Description string               `json:"description"`
	Units       map[string]string    `json:"units"`
	Source      string               `json:"source"`
	Standing    string               `json:"standing"`
	Seconds     []float64            `json:"seconds"`
	Thresholds  map[string][]float64 `json:"thresholds"`
}) {
	if err := json.Unmarshal(burnsFile, &table); err != nil {
		panic(fmt.Sprintf("heat: embedded burn thresholds: %v", err)) // part of the program, tested
	}
	return table
}()

// Surfaces lists the kinds of surface that [BurnThreshold] knows.
func Surfaces() []string {
	names := make([]string, 0, len(burns.Thresholds))
	for name := range burns.Thresholds {
		names = append(names, name)
	}
	sort.Strings(names)
	return names
}

// BurnThreshold is the surface temperature in K at which touching a surface
// ("bare metal", "ceramic", "plastic", "wood") for a time in s begins to burn
// skin (ISO 13732-1, key iso13732, lower end of its bands), linear in the
// logarithm of time between 0.5 s and 8 h and constant outside. The standard
// sets no limit values: it says what is known, not what is allowed.
func BurnThreshold(surface string, seconds float64) (kelvin float64, ok bool) {
	t, ok := burns.Thresholds[surface]
	if !ok {
		return 0, false
	}
	s := burns.Seconds
	i := sort.SearchFloat64s(s, seconds)
	switch {
	case i == 0:
		return t[0] + 273.15, true
	case i == len(s):
		return t[len(t)-1] + 273.15, true
	}
	f := math.Log(seconds/s[i-1]) / math.Log(s[i]/s[i-1])
	return t[i-1] + f*(t[i]-t[i-1]) + 273.15, true
}
