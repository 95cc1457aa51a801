// Package brief turns a brief, as it was written, into checked values: a
// Rocket and a Site, what is varied, goals, limits, scatter and how to search.
// Start from Parse, Brief and Quantities.
//
// It is where text with units becomes SI: nothing downstream checks or converts
// again. Quantities is the one table of what can be set; the parser, the
// schema, --set and the reference text all read it. The package flies nothing;
// it never does I/O, logs, reads a clock or draws random numbers.
package brief
