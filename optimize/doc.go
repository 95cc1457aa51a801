// Package optimize searches for the non-dominated feasible designs of a
// problem with one to five goals.
//
// Start from Problem, Evolve and Choose. A search keeps one population on each
// of a few islands; an island lives through epochs of a fixed number of
// generations, and at the barrier between two epochs copies of the best
// designs travel round the ring. Epoch is pure, so that an island may be flown
// anywhere; only Evolve knows all of them. A State is a search at a barrier, in
// memory or in its wire form; Continue takes it up again.
//
// It assumes that an evaluation depends on the design alone. All random
// numbers derive from the seed, the island and the generation, and are drawn
// in the serial part of an epoch: one build gives the same bytes for one seed
// whatever the number of workers, on every amd64 machine. On other
// architectures, where the compiler fuses a product and a sum, they are others.
//
// The package does no input or output, keeps no clock, logs nothing and knows
// no physics.
package optimize
