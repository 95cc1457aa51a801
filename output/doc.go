// Package output turns results into files and terminal text: tables with a
// unit in every column name, Parquet and Arrow files, the run folder, JSON and
// aligned text. Start from Layout, WriteTable and Create; FORMAT.md beside this
// file describes what is written.
//
// It assumes SI values with angles in radians, and converts to the written and
// shown units here and nowhere else. Results arrive as data: it flies, ranks
// and prints nothing. It is the only importer of Arrow.
package output
