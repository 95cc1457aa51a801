// Package outside holds tests that meet the program as its users and their tools
// do: as commands typed, and as files that browsers and notebooks open.
package outside
