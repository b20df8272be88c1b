package heat

import "math"

// CoaxialDiscs is the view factor from disc 1 to disc 2, parallel and coaxial,
// of radii r1 and r2 at a distance h (exact; key howell2010):
//
//	F = ½ (S - √(S² - 4 (r2/r1)²)),  S = 1 + (1 + R2²)/R1²,  Ri = ri/h.
func CoaxialDiscs(r1, r2, h float64) float64 {
	a, b := r1/h, r2/h
	s := 1 + (1+b*b)/(a*a)
	q := r2 / r1
	// the root as a quotient, which keeps its digits where S is large
	return 2 * q * q / (s + math.Sqrt(s*s-4*q*q))
}

// Reradiating is the exchange factor from surface 1 to surface 2 when the
// surfaces that enclose them lose no heat and radiate back all they receive
// (exact for grey walls; key howell2010):
//
//	F̄ = (A2 - A1 F²) / (A1 + A2 - 2 A1 F)
//
// with F the view factor from 1 to 2. For equal areas it is (1 + F)/2.
func Reradiating(area1, area2, f float64) float64 {
	return (area2 - area1*f*f) / (area1 + area2 - 2*area1*f)
}

// RadiationCoefficient is εσ(T1² + T2²)(T1 + T2) in W/(m² K), the coefficient
// that gives the radiation exchanged when multiplied by T1 - T2.
func RadiationCoefficient(emissivity, t1, t2 float64) float64 {
	return emissivity * StefanBoltzmann * (t1*t1 + t2*t2) * (t1 + t2)
}
