// Package answers says what a builder asks of a design: what its limits cost
// it, how far its quantities may move, what goes wrong if something does, and
// what a pad card and a build sheet must know. Each number comes from flights
// of its own. Start from CardOf, Room, WhatIfs, Prices and Bands.
//
// Numbers are in SI units. The package never does I/O, logs, reads a clock or
// draws random numbers.
package answers
