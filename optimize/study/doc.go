// Package study flies a brief: it makes the brief a problem of the search,
// judges flights against the limits, flies designs under scatter and proves
// what a robust search found. It is the place where physics meets search. Start
// from Problem, NewJudge and Prove.
//
// Numbers are in SI units; one that a flight does not have is NaN. Results do
// not depend on how many workers fly. The package never does I/O, logs or reads
// a clock, and draws random numbers only through package scatter.
package study
