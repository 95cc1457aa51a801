// Package benchmarks measures whole jobs: flights a second at a stated
// accuracy, the search's own cost a flight, and the demo from brief to front.
// It has no code to import; run it with
//
//	go test -run '^$' -bench . ./benchmarks
//
// on a quiet machine. README.md beside this file says what each figure means
// and keeps dated results.
package benchmarks
