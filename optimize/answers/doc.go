// Package answers says what a builder asks of a design: what its limits cost it,
// how far its quantities may move, how far its figures may be off, what one change
// does, what goes wrong if something does. Each number comes from flights of its
// own. Start from Of, Effects, DoubtsOf and Scatter.
//
// Numbers are in SI units. The package never does I/O, logs or reads a clock; what
// it draws at random is the same on every call.
package answers
