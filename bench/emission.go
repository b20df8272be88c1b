package bench

import (
	"fmt"
	"math"

	"stovewright/gas"
	"stovewright/message"
	"stovewright/quantity"
)

// Molar masses in kg/mol (iupac2021weights, rounded as gas handbooks do).
const (
	molarCO     = 28.010e-3
	molarCO2    = 44.009e-3
	molarCH4    = 16.043e-3
	molarCarbon = 12.011e-3
)

// MassConcentration turns a volume share (1e-6 a ppm) into kg/m³ at the
// pressure in Pa and temperature in K at which the volume or flow is stated:
// C = x·M·p/(R·T).
func MassConcentration(share, molarMass, pressure, temperature float64) float64 {
	return share * molarMass * pressure / (gas.R * temperature)
}

// HoodSample is one moment of a total-capture hood: time in s, volume shares
// above nothing (background is taken off separately), particle concentration in
// kg/m³ and duct flow in m³/s, both at the pressure and temperature of [Hood].
type HoodSample struct {
	Time         float64
	CO, CO2, CH4 float64 // volume shares
	PM           float64 // kg/m³
	Flow         float64 // m³/s
}

// Hood is the duct of a total-capture hood.
type Hood struct {
	Pressure, Temperature float64    // Pa, K at which Flow and PM are stated
	Background            HoodSample // before the fire, Time and Flow unused
}

// Emitted are masses in kg.
type Emitted struct{ CO, CO2, CH4, PM float64 }

// Carbon is the carbon in what was emitted, kg; pmCarbon is the carbon share of
// the particles.
func (e Emitted) Carbon(pmCarbon float64) float64 {
	return molarCarbon*(e.CO/molarCO+e.CO2/molarCO2+e.CH4/molarCH4) + pmCarbon*e.PM
}

// Capture adds up what passed the duct, m = ∫(C-C_bg)·Q dt by the trapezoidal
// rule (epa1996methods). It needs two samples in order of time; a gap of more
// than three times the usual step is refused, because nobody knows what passed.
func (h Hood) Capture(samples []HoodSample) (Emitted, error) {
	if len(samples) < 2 {
		return Emitted{}, fmt.Errorf("bench: a hood needs two samples, got %d", len(samples))
	}
	usual := (samples[len(samples)-1].Time - samples[0].Time) / float64(len(samples)-1)
	var e Emitted
	for i := 1; i < len(samples); i++ {
		a, b := samples[i-1], samples[i]
		step := b.Time - a.Time
		if !(step > 0) || step > 3*usual+1e-9 {
			return Emitted{}, fmt.Errorf("bench: hood samples %d and %d are %g s apart, usual are %g s", i, i+1, step, usual)
		}
		trapezoid := func(of func(HoodSample) float64) float64 { return (of(a)*a.Flow + of(b)*b.Flow) / 2 * step }
		bg := h.Background
		e.CO += trapezoid(func(s HoodSample) float64 { return h.density(s.CO-bg.CO, molarCO) })
		e.CO2 += trapezoid(func(s HoodSample) float64 { return h.density(s.CO2-bg.CO2, molarCO2) })
		e.CH4 += trapezoid(func(s HoodSample) float64 { return h.density(s.CH4-bg.CH4, molarCH4) })
		e.PM += trapezoid(func(s HoodSample) float64 { return s.PM - bg.PM })
	}
	return e, nil
}

func (h Hood) density(share, molarMass float64) float64 {
	return MassConcentration(share, molarMass, h.Pressure, h.Temperature)
}

// FilterMass is the particle mass of the whole duct by a filter that sampled a
// part of it: m_filter·V_duct/V_sample - C_bg·V_duct, kg and m³.
func FilterMass(filter, ductVolume, sampleVolume, background float64) float64 {
	return filter*ductVolume/sampleVolume - background*ductVolume
}

// Plume is the mean composition of a plume or duct above background, without a
// flow: volume shares and kg/m³ of particles at a pressure and temperature.
type Plume struct {
	CO, CO2, CH4          float64 // volume shares above background
	PM                    float64 // kg/m³ above background
	PMCarbon              float64 // carbon share of the particles, 0.5 to 0.8 (common practice)
	Pressure, Temperature float64 // Pa, K
}

// Burnt is the carbon side of a test: kg of moist wood and of char, and the
// carbon shares of dry wood (0.50) and of char (0.80 to 0.90).
type Burnt struct {
	Wood, Moisture         float64
	Char                   float64
	CarbonWood, CarbonChar float64
	Useful                 float64 // J
	Duration               float64 // s
}

// CarbonBalance is what the carbon of the fuel says was emitted.
type CarbonBalance struct {
	Carbon         float64 // kg burnt, f_m(1-m)·F_c - Δc·F_char
	PlumeCarbon    float64 // kg/m³ in the plume
	Emitted        Emitted // kg
	PerDryWood     Emitted // kg/kg dry wood
	PerUseful      Emitted // kg/J delivered
	Rate           Emitted // kg/s
	MCE            float64 // modified combustion efficiency, ΔCO2/(ΔCO2+ΔCO), molar
	NCE            float64 // nominal combustion efficiency, share of carbon as CO2
	Volume         float64 // m³ of plume that holds the carbon
	CarbonEquation Step
	Alarms         []Alarm
}

// BalanceCarbon shares the carbon burnt among what was measured in the plume,
// taking that all of it left as CO2, CO, CH4 and particles
// (fleming2018emissions). CO2 and CO are needed; the error says what is missing.
func BalanceCarbon(p Plume, b Burnt) (CarbonBalance, error) {
	if !(p.CO2 > 0 && p.CO >= 0 && p.CH4 >= 0 && p.PM >= 0 && p.Pressure > 0 && p.Temperature > 0) {
		return CarbonBalance{}, fmt.Errorf("bench: carbon balance: the plume needs CO2 above background, and nothing below it: %+v", p)
	}
	carbon := b.Wood*(1-b.Moisture)*b.CarbonWood - b.Char*b.CarbonChar
	if !(carbon > 0) {
		return CarbonBalance{}, fmt.Errorf("bench: carbon balance: no carbon was burnt by these masses (%g kg)", carbon)
	}
	density := func(share, molarMass float64) float64 {
		return MassConcentration(share, molarMass, p.Pressure, p.Temperature)
	}
	inCO2, inCO, inCH4 := density(p.CO2, molarCarbon), density(p.CO, molarCarbon), density(p.CH4, molarCarbon)
	total := inCO2 + inCO + inCH4 + p.PM*p.PMCarbon
	r := CarbonBalance{Carbon: carbon, PlumeCarbon: total, MCE: p.CO2 / (p.CO2 + p.CO), NCE: inCO2 / total, Volume: carbon / total}
	r.Emitted = Emitted{CO: density(p.CO, molarCO), CO2: density(p.CO2, molarCO2), CH4: density(p.CH4, molarCH4), PM: p.PM}.times(r.Volume)
	r.PerDryWood = r.Emitted.times(1 / (b.Wood * (1 - b.Moisture)))
	r.PerUseful = r.Emitted.times(1 / b.Useful)
	r.Rate = r.Emitted.times(1 / b.Duration)
	g := func(kg float64) string { return pencil(kg * 1000) }
	r.CarbonEquation = Step{Key: "C_b", Symbol: "C_b", Name: quantityName("C_b"), Origin: Computed, Source: "fleming2018emissions",
		Equation: "C_b = f_m·(1 − m)·F_c − Δc·F_char", Numbers: "C_b = " + g(b.Wood) + "·(1 − " + pencil(b.Moisture) + ")·" + pencil(b.CarbonWood) + " − " + g(b.Char) + "·" + pencil(b.CarbonChar),
		Value: quantity.Value{SI: carbon, Unit: quantity.Gram}}
	r.Alarms = plumeAlarms(p, r)
	return r, nil
}

func (e Emitted) times(k float64) Emitted { return Emitted{e.CO * k, e.CO2 * k, e.CH4 * k, e.PM * k} }

// plumeAlarms names a plume that no wood fire makes. Bands are common practice.
func plumeAlarms(p Plume, r CarbonBalance) []Alarm {
	var found []Alarm
	ring := func(key string, severity Severity, args ...any) {
		found = append(found, Alarm{Key: key, Severity: severity, Standing: "common practice", Text: message.T("bench.emission."+key, args...)})
	}
	if r.MCE < 0.80 {
		ring("mce-low", Suspect, "mce", quantity.Pct(r.MCE))
	}
	if p.CO == 0 {
		ring("no-co", Suspect)
	}
	if p.CO2 < 200e-6 {
		ring("thin-plume", Suspect, "ppm", int(math.Round(p.CO2*1e6)))
	}
	return found
}

// Closure compares the carbon that passed a hood with the carbon burnt: 1 when
// nothing was lost.
type Closure struct {
	Found, Burnt float64 // kg of carbon
	Ratio        float64
	Alarms       []Alarm
}

// carbonClosureBand is how far the closure of a hood may lie from 1 before it is
// said; common practice.
const carbonClosureBand = 0.15

// CloseCarbon checks a hood by the carbon balance.
func CloseCarbon(e Emitted, pmCarbon float64, b Burnt) Closure {
	c := Closure{Found: e.Carbon(pmCarbon), Burnt: b.Wood*(1-b.Moisture)*b.CarbonWood - b.Char*b.CarbonChar}
	c.Ratio = c.Found / c.Burnt
	if !(math.Abs(c.Ratio-1) <= carbonClosureBand) {
		c.Alarms = []Alarm{{Key: "carbon-open", Severity: Suspect, Standing: "common practice", Text: message.T("bench.emission.carbon-open", "share", quantity.Pct(c.Ratio))}}
	}
	return c
}
