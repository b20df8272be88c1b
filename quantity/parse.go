package quantity

import (
	"errors"
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// maxText is the longest text that is read as a value; anything longer is a
// mistake of the file, not a measurement.
const maxText = 64

// Error says why a text is not a value, and what to write instead.
type Error struct {
	Text   string // what was written
	Reason string // message id of the reason, see message/en/quantity.json
	Detail string // the offending part, or the list of allowed units
	Try    string // an example that would be read
}

// Error gives the reason in plain English, for logs and for callers without a catalogue.
func (e *Error) Error() string {
	reasons := map[string]string{
		"quantity.empty":        "nothing is written",
		"quantity.long":         "the text is too long for a value",
		"quantity.number":       "the number cannot be read",
		"quantity.comma":        "the comma may set thousands or decimals apart; for decimals write " + e.Detail,
		"quantity.unit":         "the unit is not one of " + e.Detail,
		"quantity.unit-missing": "the unit is missing; allowed are " + e.Detail,
		"quantity.range":        "the number is too large",
	}
	return fmt.Sprintf("quantity: %q: %s (try: %s)", e.Text, reasons[e.Reason], e.Try)
}

// Parse reads a value as people write it and returns it in SI. The number may
// use a decimal point or comma, thousands set apart by blanks ("1 200"), a
// fraction ("5/8"), or a whole number and a fraction ("29 5/8", "29-5/8",
// "29⅝"); feet and inches may stand together ("2 ft 5 1/2 in", "2'-5 1/2\"").
// Digits may be of any script. A comma before exactly three digits ("1,200") is
// refused, because it is a thousand to one reader and one to the next.
// A bare number takes the fallback unit; a fallback of the wrong dimension (the
// zero Unit for anything but ratios) makes the unit compulsory. The result is
// always finite; the error is always an [*Error].
func Parse(text string, d Dimension, fallback Unit) (float64, error) {
	example := exampleFor(d, fallback)
	fail := func(reason, detail string) (float64, error) {
		return 0, &Error{Text: clip(text), Reason: reason, Detail: detail, Try: example}
	}
	if len(text) > maxText {
		return fail("quantity.long", "")
	}
	s := normalise(text)
	if s == "" {
		return fail("quantity.empty", "")
	}
	if si, ok := parseFeetInches(s, d); ok {
		return si, nil
	}
	numberText, unitText := splitNumber(s)
	if whole, thousandths, ok := ambiguousComma(numberText); ok {
		if _, known := lookup(unitText, d); known || unitText == "" {
			example = strings.TrimSpace(whole + thousandths + " " + unitText)
		}
		return fail("quantity.comma", whole+"."+thousandths)
	}
	number, err := parseNumber(numberText)
	if errors.Is(err, strconv.ErrRange) {
		return fail("quantity.range", "")
	}
	if err != nil {
		if numberText == "" {
			numberText = clip(s)
		}
		return fail("quantity.number", numberText)
	}
	unit := fallback
	if unitText != "" {
		var ok bool
		if unit, ok = lookup(unitText, d); !ok {
			return fail("quantity.unit", UnitList(d))
		}
	} else if unit.Dimension != d || unit.Factor == 0 {
		_, exampleUnit := splitNumber(example)
		example = numberText + " " + exampleUnit
		return fail("quantity.unit-missing", UnitList(d))
	}
	si := unit.SI(number)
	if math.IsInf(si, 0) || math.IsNaN(si) {
		return fail("quantity.range", "")
	}
	return si, nil
}

// UnitList names the unit symbols allowed for a dimension, for error texts.
func UnitList(d Dimension) string {
	seen := make(map[string]bool)
	var list []string
	for _, u := range spellings[d] {
		if u.Symbol != "" && !seen[u.Symbol] {
			seen[u.Symbol] = true
			list = append(list, u.Symbol)
		}
	}
	sort.Slice(list, func(i, j int) bool {
		a, b := list[i], list[j]
		if utf8.RuneCountInString(a) != utf8.RuneCountInString(b) {
			return utf8.RuneCountInString(a) < utf8.RuneCountInString(b)
		}
		return a < b
	})
	return strings.Join(list, ", ")
}

var examples = map[Dimension]string{Ratio: "15 %", Length: "75.4 cm", Area: "121 cm²", Volume: "5 L", Mass: "1.2 kg",
	Time: "25 min", Temperature: "24 °C", TemperatureDifference: "20 K", Pressure: "850 hPa", Power: "4.5 kW",
	Energy: "15 MJ", SpecificEnergy: "18.4 MJ/kg", Density: "0.6 g/cm³", MassFlow: "4 g/s", Velocity: "1.2 m/s",
	Angle: "30 °", Force: "100 N", Stress: "1.2 MPa", HeatFlux: "36 W/cm²", Conductivity: "0.2 W/(m·K)",
	GasShare: "52 ppm", VolumeFlow: "6 m³/min", Rate: "15 per h"}

// exampleFor is a text that would be read, in the fallback unit where it fits.
func exampleFor(d Dimension, fallback Unit) string {
	if fallback.Dimension == d && fallback.Factor != 0 && fallback.Symbol != "" {
		return "12.5 " + fallback.Symbol
	}
	return examples[d]
}

func clip(s string) string {
	if len(s) <= maxText {
		return strings.ToValidUTF8(s, "�")
	}
	return strings.ToValidUTF8(s[:maxText], "�") + "…"
}

// folds turns what keyboards and word processors put in place of plain marks
// back into plain ones. A vulgar fraction is set apart from the whole number
// before it.
var folds = strings.NewReplacer(
	"\u200b", "", "\u2060", "", "\ufeff", "", "\u200e", "", "\u200f", "", // marks of no width
	"−", "-", "–", "-", "‐", "-", "‑", "-", "－", "-", "＋", "+",
	"½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8", "⅓", " 1/3", "⅔", " 2/3",
	"⁄", "/", "∕", "/", "／", "/", "．", ".", "，", ",", "٫", ".", "％", "%", "٪", "%", "℃", "°C", "℉", "°F")

// normalise makes a text plain: blanks of every kind become single spaces,
// digits of every script become 0 to 9.
func normalise(s string) string {
	s = folds.Replace(strings.ToValidUTF8(s, "�"))
	s = strings.Map(plainDigit, s)
	return strings.Join(strings.Fields(s), " ")
}

// plainDigit maps a decimal digit of any script to 0 to 9. Unicode lays the
// digits of a script out in runs of ten.
func plainDigit(r rune) rune {
	if r < utf8.RuneSelf || !unicode.IsDigit(r) {
		return r
	}
	for _, t := range unicode.Nd.R16 {
		if rune(t.Lo) <= r && r <= rune(t.Hi) {
			return '0' + (r-rune(t.Lo))%10
		}
	}
	for _, t := range unicode.Nd.R32 {
		if rune(t.Lo) <= r && r <= rune(t.Hi) {
			return '0' + (r-rune(t.Lo))%10
		}
	}
	return r
}

// ambiguousComma reports a number such as "1,200": one comma, one to three
// digits before it that do not begin with zero, and exactly three after it.
func ambiguousComma(s string) (whole, thousandths string, ok bool) {
	whole, thousandths, ok = strings.Cut(s, ",")
	digits := strings.TrimLeft(whole, "+-")
	ok = ok && allDigits(digits) && len(digits) <= 3 && digits[0] != '0' && allDigits(thousandths) && len(thousandths) == 3
	return whole, thousandths, ok
}

// splitNumber cuts a text after the last character that can belong to the
// number that opens it.
func splitNumber(s string) (number, unit string) {
	end := 0
	for end < len(s) && strings.IndexByte("0123456789.,/-+ ", s[end]) >= 0 {
		end++
	}
	// scientific notation: an exponent belongs to the number
	if end > 0 && end < len(s)-1 && (s[end] == 'e' || s[end] == 'E') && s[end-1] >= '0' && s[end-1] <= '9' {
		k := end + 1
		if s[k] == '-' || s[k] == '+' {
			k++
		}
		if k < len(s) && s[k] >= '0' && s[k] <= '9' {
			for k < len(s) && s[k] >= '0' && s[k] <= '9' {
				k++
			}
			end = k
		}
	}
	return strings.TrimSpace(s[:end]), strings.TrimSpace(s[end:])
}

func parseNumber(s string) (float64, error) {
	parts := strings.Fields(s)
	if len(parts) > 1 && (parts[0] == "-" || parts[0] == "+") {
		parts[1] = parts[0] + parts[1] // a sign set apart, as in "-½" taken to pieces
		parts = parts[1:]
		s = strings.Join(parts, " ")
	}
	if len(parts) == 1 && strings.Contains(s, "/") {
		if cut := strings.LastIndexByte(s, '-'); cut > 0 {
			return parseMixed(s[:cut], s[cut+1:]) // "29-5/8"
		}
		return parseFraction(s)
	}
	if len(parts) == 2 && strings.Contains(parts[1], "/") {
		return parseMixed(parts[0], parts[1])
	}
	if len(parts) > 1 {
		return parseGrouped(parts)
	}
	return parseDecimal(s)
}

// parseMixed reads a whole number and a proper fraction; the sign of the whole
// number goes for both.
func parseMixed(wholeText, fractionText string) (float64, error) {
	whole, err := parseWhole(wholeText)
	if err != nil {
		return 0, err
	}
	fraction, err := parseFraction(fractionText)
	if err != nil || !allDigits(fractionText[:1]) || fraction >= 1 {
		return 0, fmt.Errorf("quantity: not a fraction: %q", fractionText)
	}
	return math.Copysign(math.Abs(whole)+fraction, signOf(wholeText)), nil
}

// parseGrouped reads thousands written in groups with blanks, "1 200" or "1 200,5".
func parseGrouped(parts []string) (float64, error) {
	bad := fmt.Errorf("quantity: not a number: %q", strings.Join(parts, " "))
	for i, p := range parts {
		whole := p
		if cut := strings.IndexAny(p, ".,"); cut >= 0 {
			if i < len(parts)-1 {
				return 0, bad
			}
			whole = p[:cut]
		}
		if i == 0 {
			whole = strings.TrimLeft(whole, "+-")
		}
		if !allDigits(whole) || len(whole) > 3 || (i > 0 && len(whole) != 3) {
			return 0, bad
		}
	}
	return parseDecimal(strings.Join(parts, ""))
}

func allDigits(s string) bool {
	for _, r := range s {
		if r < '0' || r > '9' {
			return false
		}
	}
	return s != ""
}

func signOf(s string) float64 {
	if strings.HasPrefix(s, "-") {
		return -1
	}
	return 1
}

func parseWhole(s string) (float64, error) {
	n, err := strconv.ParseInt(s, 10, 32)
	return float64(n), err
}

func parseFraction(s string) (float64, error) {
	top, bottom, ok := strings.Cut(s, "/")
	if !ok {
		return 0, fmt.Errorf("quantity: not a fraction: %q", s)
	}
	a, err := parseWhole(top)
	if err != nil {
		return 0, err
	}
	b, err := parseWhole(bottom)
	if err != nil || b <= 0 || !allDigits(bottom) {
		return 0, fmt.Errorf("quantity: not a fraction: %q", s)
	}
	return a / b, nil
}

// parseDecimal reads one number with a decimal point or a decimal comma. A
// text with both, or with two of one kind, is refused: "1,234.5" might be one
// thousand or one.
func parseDecimal(s string) (float64, error) {
	if strings.Count(s, ",")+strings.Count(s, ".") > 1 {
		return 0, fmt.Errorf("quantity: more than one decimal mark: %q", s)
	}
	s = strings.Replace(s, ",", ".", 1)
	mantissa := strings.TrimLeft(s, "+-")
	if len(s)-len(mantissa) > 1 || mantissa == "" || mantissa == "." || strings.Contains(mantissa, "/") {
		return 0, fmt.Errorf("quantity: not a number: %q", s)
	}
	return strconv.ParseFloat(s, 64)
}

// parseFeetInches reads the mixed forms "2 ft 5 1/2 in" and "2'-5 1/2\"".
func parseFeetInches(s string, d Dimension) (float64, bool) {
	if d != Length {
		return 0, false
	}
	feetText, rest := splitNumber(s)
	for _, word := range []string{"feet", "foot", "ft", "'", "′", "’"} {
		tail, ok := strings.CutPrefix(strings.ToLower(rest), word)
		tail = strings.TrimPrefix(tail, ".")
		tail = strings.TrimPrefix(strings.TrimSpace(tail), "-")
		if !ok || tail == "" {
			continue
		}
		inchText, unitText := splitNumber(strings.TrimSpace(tail))
		u, known := lookup(unitText, Length)
		if !known || u != Inch {
			return 0, false
		}
		feet, err1 := parseWhole(feetText)
		inches, err2 := parseNumber(inchText)
		if err1 != nil || err2 != nil || signOf(feetText) < 0 || signOf(inchText) < 0 || inches >= 12 {
			return 0, false
		}
		return feet*Foot.Factor + inches*Inch.Factor, true
	}
	return 0, false
}
