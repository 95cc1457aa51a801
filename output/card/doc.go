// Package card makes the pad card, on paper and as text, and the build sheet of
// a design. Start from Card. Numbers on paper are rounded to the safe side: a
// bound holds as it is read.
package card
