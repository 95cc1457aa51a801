// Package scatter draws what differs from flight to flight and from day to day:
// deviations of a brief's quantities and the law that joins them. Search, proof
// and report draw here and nowhere else. Start from New and Draws.At.
//
// Draws are common: the same for every design, and the same for the same seed
// and purpose whatever machine or worker asks. The package flies nothing and
// reads no clock; its random numbers come from the seed that it is given.
package scatter
