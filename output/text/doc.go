// Package text writes numbers, names and prose as people read them: in the units
// of a workshop, rounded to the safe side, cleaned of what foreign text may hold,
// and folded to the width of a terminal. Start from Show, Plain and Folded.
//
// It converts SI values to the units of a workshop, and so do report and card
// with it, here and nowhere else.
package text
