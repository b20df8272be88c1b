package explore

// How much a study takes where nobody asks for more or less: some seconds of two
// idle cores.
const (
	UsualPopulation  = 32  // designs of a generation of a search
	UsualGenerations = 25  // of a search
	UsualDraws       = 400 // stoves for each case of a tolerance study
	UsualRows        = 512 // of each replicate of a global study
	UsualReplicates  = 4   // that the intervals of a global study come from
)
