package bench

import "strings"

// unfoldPeople writes beside the standard adults of each day whom they are made of.
func (c *calculation) unfoldPeople(days []People) {
	if !c.tracing {
		return
	}
	w := adultWeights()
	parts := []struct{ key, word string }{{"child", "children"}, {"woman", "women"}, {"man", "men"}, {"elder-man", "older men"}}
	steps := c.steps[len(c.steps)-len(days):]
	for i, p := range days {
		var equation, numbers []string
		for k, count := range []float64{p.Children, p.Women, p.Men, p.ElderMen} {
			weight := pencil(w[parts[k].key])
			equation, numbers = append(equation, weight+"·"+parts[k].word), append(numbers, weight+"·"+pencil(count))
		}
		s := &steps[i]
		s.Origin, s.Equation, s.Numbers = Computed, s.Symbol+" = "+strings.Join(equation, " + "), s.Symbol+" = "+strings.Join(numbers, " + ")
	}
}
