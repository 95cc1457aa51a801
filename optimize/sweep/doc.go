// Package sweep lists designs by number, flies them in any order and draws from
// them what needs all: the front of a whole grid, and sensitivity indices.
//
// Start from Grid, Draws or Saltelli, which make a Plan; Each calls a worker
// for every number of a range; Tally keeps the front of a plan without its
// rows, and Sensitivity turns the outputs of a Saltelli plan into indices.
//
// It assumes that a flight depends on the design alone. A plan gives design i
// without those before it, so that a sweep can stop and go on anywhere, and
// what comes out does not depend on the number of workers.
//
// The package does no input or output, keeps no clock, logs nothing and knows
// no physics.
package sweep
