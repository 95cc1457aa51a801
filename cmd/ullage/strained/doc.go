// Package strained holds tests that put the program as it is built under strain:
// it is killed, cut off from its workers, and run on older processors.
package strained
