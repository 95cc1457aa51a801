// Package output lays results out as tables, and reads them back: the front, the
// history of a search, trajectories, landings, flights of a sweep, indices,
// results under scatter. Start from Front, Rows and Found; FORMAT.md beside this
// file describes what is written.
//
// It takes briefs, rows, chances and answers as they are, in SI with angles in
// radians and NaN for what is not there, which table converts to written units
// and nulls, and text to shown ones. It flies, ranks and prints nothing. The
// packages inside it are file, table and runs, which know none of this, and
// text, report and card, which show it.
package output
