package brick

import "math/rand/v2"

func newTestRand(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 0)) }
