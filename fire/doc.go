// Package fire computes a stove alight: how much air it pulls, how hot the gas
// is at each station, how much heat reaches the pot and by which way, and how a
// boiling test goes in time.
//
// The steady model is a chain of zones: fuel bed, chamber with its wall, the
// stagnation flow under the pot's centre, the ring under the pot, the side in
// its skirt, the exit. Gas flow settles where draft balances losses. Every
// coefficient that judgement has to supply is in a table (see [Table]) with its
// range and origin.
//
// The model is verified, not validated: its equations are solved correctly, and
// its channel agrees with a flow solver, but no measured stove stands behind it.
// Carbon monoxide and particles are not predicted, because no equation here
// knows them; only a test with instruments does. What the model does tell is the
// air ratio, and a fire that is short of air smokes.
package fire
