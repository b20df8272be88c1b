// Package explore asks what to change: which dimension pays most, what a sloppy
// gap costs, which stove is best for a brief, why two stoves differ, what
// measured tests teach the model, and what to test next.
//
// A long computation is a [Study]: a value that can be written down as JSON at
// any moment, cut into batches of units of work that do not depend on each other.
// [Run] works through one with any number of workers; a queue may do the same
// unit by unit. Every unit draws its random numbers from the study's seed and its
// own place, and results are taken in order, so that the outcome is the same bit
// for bit however many work on it.
//
// Inputs stand in three groups that must not be confused: what the maker chooses,
// what is uncertain in the model, and what varies at each building and each cook.
// Everything computed here is a prediction of a model that is verified, not
// validated; see package fire.
package explore
