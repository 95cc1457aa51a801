// Package terminal lays out what commands print: flights, fronts, scatter,
// effects, indices, comparisons, answers, what follows from a rocket and the keys
// of a brief, as aligned lines of at most text.LineWidth columns or as JSON.
// Start from Fly and Front.
package terminal
