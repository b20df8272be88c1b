package explore

import "math/rand/v2"

// stream is the generator of one place of a study: the same seed and place give
// the same numbers, whoever asks and in whatever order.
func stream(seed uint64, place ...uint64) *rand.Rand {
	a, b := seed, uint64(0x9e3779b97f4a7c15)
	for _, p := range place {
		a, b = mix(a^p), mix(b+p)
	}
	return rand.New(rand.NewPCG(a, b))
}

// mix is the finisher of SplitMix64 (key steele2014splitmix).
func mix(z uint64) uint64 {
	z += 0x9e3779b97f4a7c15
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}
