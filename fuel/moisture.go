package fuel

import (
	"math"
	"strings"

	"stovewright/message"
	"stovewright/quantity"
)

// Moisture is how wet a fuel is. It can only be made by naming its basis
// ([WetBasis], [DryBasis], [ParseMoisture]), because taking one basis for the
// other is the commonest mistake with wood: a pin meter that shows 20 % (of the
// dry wood) means 16.7 % of the wood as weighed. The zero Moisture is bone dry.
type Moisture struct{ wet float64 }

// wettest is the largest water share, of the wet mass, that is taken for fuel:
// freshly cut heavy woods and crop stalks reach it.
const wettest = 0.70

// WetBasis is water per mass of wet fuel, 0 to 0.70. The error is a
// [*message.InputError].
func WetBasis(w float64) (Moisture, error) {
	if !(w >= 0 && w <= wettest) {
		return Moisture{}, moistureError(w, wettest, "15 % wet")
	}
	return Moisture{w}, nil
}

// DryBasis is water per mass of dry fuel, as pin meters show it, 0 to 2.33.
func DryBasis(d float64) (Moisture, error) {
	const limit = wettest / (1 - wettest)
	if !(d >= 0 && d <= limit) {
		return Moisture{}, moistureError(d, limit, "18 % dry")
	}
	return Moisture{d / (1 + d)}, nil
}

// Wet is the water per mass of wet fuel.
func (m Moisture) Wet() float64 { return m.wet }

// Dry is the water per mass of dry fuel.
func (m Moisture) Dry() float64 { return m.wet / (1 - m.wet) }

// DryMass is the dry fuel in a mass of wet fuel.
func (m Moisture) DryMass(wetMass float64) float64 { return (1 - m.wet) * wetMass }

// ParseMoisture reads "15 % wet", "20% dry basis" or "0.12 w.b.". A text
// without its basis is refused. The error is a [*message.InputError].
func ParseMoisture(text string) (Moisture, error) {
	words := strings.Fields(strings.ToLower(text))
	basis, number := "", ""
	for len(words) > 0 && basis == "" {
		last := strings.Trim(words[len(words)-1], "().,")
		words = words[:len(words)-1]
		switch last {
		case "basis":
		case "wet", "w.b", "wb":
			basis = "wet"
		case "dry", "d.b", "db":
			basis = "dry"
		default:
			return Moisture{}, &message.InputError{Field: "moisture", Value: clip(text), Reason: message.T("fuel.moisture-basis"), Try: "15 % wet"}
		}
	}
	number = strings.Join(words, " ")
	value, err := quantity.Parse(number, quantity.Ratio, quantity.Percent)
	if err != nil {
		return Moisture{}, &message.InputError{Field: "moisture", Value: clip(text), Reason: message.T("fuel.moisture-number"), Try: "15 % wet"}
	}
	if basis == "wet" {
		return WetBasis(value)
	}
	return DryBasis(value)
}

func moistureError(value, limit float64, try string) error {
	shown := quantity.Pct(value)
	if math.IsNaN(value) || math.IsInf(value, 0) {
		shown = quantity.Pct(math.NaN())
	}
	return &message.InputError{Field: "moisture", Value: shown.Format('.'), Reason: message.T("fuel.moisture-range"),
		Allowed: message.T("fuel.moisture-allowed", "most", quantity.Pct(limit)), Try: try}
}

func clip(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}
