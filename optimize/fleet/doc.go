// Package fleet spreads a search or a sweep over other computers: it cuts the
// work into jobs that depend on nothing but their own bytes, gives them to
// workers over a NATS server or through a folder, and takes the answers. Start
// from Job, Desk and Work.
//
// A job may be flown twice, late or in any order: the same program on the same
// architecture gives the same answer, and an answer names its job by hash. The
// desk holds its jobs in memory and the server holds nothing: after a crash the
// run's checkpoint is all that is needed to go on.
//
// A worker is not trusted: what enters the front and a share of the rest is
// flown again where the search runs, and a worker whose answer is another one is
// dropped.
//
// It is the only importer of the client and server of NATS. It prints nothing,
// and writes files only through the functions that it is given.
package fleet
