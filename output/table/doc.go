// Package table is a table of named columns, each with its unit, role and
// meaning, and what files make of it: Parquet and Arrow. Start from Table,
// Write and Read.
//
// It holds which unit files state a quantity in and how the names of columns
// and JSON keys are made of a key and a unit. What it is given in SI, with
// angles in radians, says so. It is the only importer of Arrow, and knows
// nothing of rockets.
package table
