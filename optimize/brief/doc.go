// Package brief turns a brief, as it was written, into checked values: a
// Rocket and a Site, goals, limits, scatter, and the optimize.Problem that a
// search explores. Start from Parse, Brief and Quantities.
//
// It is the place where physics meets search, and where text with units becomes
// SI: nothing downstream checks or converts again. Quantities is the one table
// of what can be set; the parser, the schema, --set and the reference text all
// read it. The package never does I/O, logs, reads a clock or draws random
// numbers.
package brief
