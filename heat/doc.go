// Package heat moves heat: published correlations for channels, stagnation
// flow, free convection, radiation and evaporation, each its own function named
// by author and year; and walls, steady and in time, in one dimension and in two.
//
// Units are SI: K, W, m, s. Properties are passed in, so that each correlation
// can be checked by itself.
package heat

// StefanBoltzmann is the radiation constant in W/(m² K⁴) (CODATA 2018; key codata2018).
const StefanBoltzmann = 5.670374419e-8

// Gravity is the standard acceleration of free fall, m/s².
const Gravity = 9.80665
