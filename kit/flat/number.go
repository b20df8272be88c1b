package flat

import "strconv"

// number writes a value as it stands in the inputs of a check.
func number(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }
