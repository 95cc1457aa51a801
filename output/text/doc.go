// Package text shows results on a terminal: flights, fronts, scatter, indices,
// answers and what follows from a rocket, as aligned lines of at most LineWidth
// columns or as JSON. Start from Fly, Front and Show.
//
// It converts SI values to the units of a workshop, and so do report and card
// with it, here and nowhere else.
package text
