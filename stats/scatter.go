package stats

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mathext"
)

// ScatterTest is a test of equal scatter or equal means between groups.
type ScatterTest struct {
	Statistic float64
	DF1, DF2  float64 // DF2 is 0 for a chi-squared statistic
	P         float64
}

// OneWay is the one-way analysis of variance of group means (fisher1925workers).
func OneWay(groups ...[]float64) (ScatterTest, error) {
	between, within, df1, df2, err := meanSquares(groups)
	if err != nil {
		return ScatterTest{}, err
	}
	t := ScatterTest{DF1: df1, DF2: df2, P: 1}
	if between > 0 {
		t.Statistic = between / within
		t.P = fUpper(t.Statistic, df1, df2)
	}
	return t, nil
}

func meanSquares(groups [][]float64) (between, within, df1, df2 float64, err error) {
	if len(groups) < 2 {
		return 0, 0, 0, 0, ErrTooFew
	}
	var all []float64
	for _, g := range groups {
		if err := check(g, 1); err != nil {
			return 0, 0, 0, 0, err
		}
		all = append(all, g...)
	}
	df1, df2 = float64(len(groups)-1), float64(len(all)-len(groups))
	if df2 < 1 {
		return 0, 0, 0, 0, fmt.Errorf("%w: no group has two", ErrTooFew)
	}
	shift := all[0] // leading digits that all have say nothing, and cost accuracy
	for i := range all {
		all[i] -= shift
	}
	grand := Mean(all)
	at := 0
	for _, g := range groups {
		g = all[at : at+len(g)]
		at += len(g)
		m := Mean(g)
		between += float64(len(g)) * (m - grand) * (m - grand)
		for _, v := range g {
			within += (v - m) * (v - m)
		}
	}
	return between / df1, within / df2, df1, df2, nil
}

// BrownForsythe tests whether groups scatter alike: [OneWay] on the distances
// from the group medians (brown1974robust).
func BrownForsythe(groups ...[]float64) (ScatterTest, error) {
	return OneWay(fromMedians(groups)...)
}

func fromMedians(groups [][]float64) [][]float64 {
	away := make([][]float64, len(groups))
	for i, g := range groups {
		m := Median(g)
		away[i] = make([]float64, len(g))
		for j, v := range g {
			away[i][j] = math.Abs(v - m)
		}
	}
	return away
}

// Fligner tests whether groups scatter alike by normal scores of the ranks of
// the distances from the group medians, χ² with k-1 degrees of freedom
// (conover1981comparative). It bears outliers best.
func Fligner(groups ...[]float64) (ScatterTest, error) {
	if _, _, _, _, err := meanSquares(groups); err != nil {
		return ScatterTest{}, err
	}
	var all []float64
	for _, g := range fromMedians(groups) {
		all = append(all, g...)
	}
	ranks, _ := doubledRanks(all)
	scores := make([]float64, len(all))
	for i, r := range ranks {
		scores[i] = NormalQuantile(0.5 + float64(r)/2/(2*float64(len(all)+1)))
	}
	grand, spread := Mean(scores), variance(scores)
	t := ScatterTest{DF1: float64(len(groups) - 1), P: 1}
	at := 0
	for _, g := range groups {
		m := Mean(scores[at : at+len(g)])
		t.Statistic += float64(len(g)) * (m - grand) * (m - grand) / spread
		at += len(g)
	}
	if spread == 0 {
		t.Statistic = 0
		return t, nil
	}
	t.P = chiSquaredUpper(t.Statistic, t.DF1)
	return t, nil
}

// IntraclassCorrelation estimates, from a one-way layout of clusters, how much
// alike values of one cluster are: (MSB-MSW)/(MSB+(k₀-1)MSW), k₀ the adjusted
// mean cluster size (donner1980estimation). It may come out below zero.
func IntraclassCorrelation(clusters ...[]float64) (float64, error) {
	between, within, _, _, err := meanSquares(clusters)
	if err != nil {
		return 0, err
	}
	var n, squares float64
	for _, c := range clusters {
		n += float64(len(c))
		squares += float64(len(c) * len(c))
	}
	k := (n - squares/n) / float64(len(clusters)-1)
	if between+(k-1)*within == 0 {
		return 0, fmt.Errorf("%w: the values do not vary", ErrRange)
	}
	return (between - within) / (between + (k-1)*within), nil
}

// fUpper is P(F > f), chiSquaredUpper P(χ² > x).
func fUpper(f, df1, df2 float64) float64 {
	if math.IsInf(f, 1) {
		return 0
	}
	return mathext.RegIncBeta(df2/2, df1/2, df2/(df2+df1*f))
}

func chiSquaredUpper(x, df float64) float64 { return mathext.GammaIncRegComp(df/2, x/2) }
