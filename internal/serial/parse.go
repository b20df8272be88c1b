package serial

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"

	"stovewright/quantity"
)

// Reading is one reading of an instrument.
type Reading struct {
	Value  quantity.Value // in the unit of the line
	Text   string         // as it goes into a sheet: "571.2 g"
	Stable bool           // the instrument has come to rest, or does not say
	At     time.Time
}

// units are units as instruments write them. Upper case is folded.
var units = map[string]quantity.Unit{
	"g": quantity.Gram, "gram": quantity.Gram, "grams": quantity.Gram, "kg": quantity.Kilogram,
	"c": quantity.Celsius, "°c": quantity.Celsius, "degc": quantity.Celsius, "oc": quantity.Celsius, "ºc": quantity.Celsius,
	"f": fahrenheit, "°f": fahrenheit, "degf": fahrenheit, "k": quantity.Kelvin,
}

var fahrenheit = quantity.Unit{Symbol: "°F", Dimension: quantity.Temperature, Factor: 5.0 / 9, Offset: 273.15 - 32*5.0/9}

// number is a sign, which may stand apart, digits with a decimal mark, and a
// unit behind it.
var number = regexp.MustCompile(`([+-]?)\s*(\d+(?:[.,]\d+)?)\s*([°º]?[A-Za-z]*)`)

// Words that instruments put before a reading. Common practice, no source.
var (
	moving  = map[string]bool{"us": true, "unstable": true, "sd": true, "d": true, "?": true, "dynamic": true}
	no      = map[string]bool{"ol": true, "over": true, "overload": true, "err": true, "error": true, "ul": true, "under": true, "open": true}
	between = regexp.MustCompile(`[,;:=\s]+`)
)

// Parse reads a line. A number without a unit takes the fallback, where it is
// the only one on the line. False when the line holds no reading that is sure.
func Parse(line string, fallback quantity.Unit) (Reading, bool) {
	line = strings.TrimSpace(strings.ToValidUTF8(line, ""))
	r := Reading{Stable: true}
	for _, word := range between.Split(strings.ToLower(line), -1) {
		if no[word] {
			return Reading{}, false
		}
		r.Stable = r.Stable && !moving[word] && !strings.HasPrefix(word, "?")
	}
	found := number.FindAllStringSubmatch(line, -1)
	for _, m := range found {
		if u, known := units[strings.ToLower(m[3])]; known {
			return r.with(m, u)
		}
	}
	if len(found) == 1 && found[0][3] == "" && fallback.Factor != 0 {
		return r.with(found[0], fallback)
	}
	return Reading{}, false
}

// largest is what no instrument of the trade goes beyond, in its own unit.
const largest = 1e7

func (r Reading) with(m []string, u quantity.Unit) (Reading, bool) {
	digits := strings.Replace(m[2], ",", ".", 1)
	v, err := strconv.ParseFloat(digits, 64)
	if err != nil || v > largest {
		return Reading{}, false
	}
	step := 1.0
	if whole, decimals, ok := strings.Cut(digits, "."); ok {
		step = math.Pow(10, -float64(len(decimals)))
		digits = strings.TrimLeft(whole, "0") + "." + decimals
	} else {
		digits = strings.TrimLeft(digits, "0")
	}
	if digits == "" || digits[0] == '.' {
		digits = "0" + digits
	}
	if m[1] == "-" && v != 0 {
		v, digits = -v, "-"+digits
	}
	r.Value = quantity.Value{SI: u.SI(v), Unit: u, Step: step}
	r.Text = digits + " " + u.Symbol
	return r, true
}
