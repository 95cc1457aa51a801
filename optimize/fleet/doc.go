// Package fleet spreads a search or a sweep over other computers: it cuts the
// work into jobs that depend on nothing but their own bytes, hands them to
// workers through a NATS JetStream queue or a folder, and takes the answers.
// Start from Job, Desk and Work.
//
// A job may be flown twice, late or in any order: the same program on the same
// class of CPU gives the same answer, and answers are told apart by the hash of
// their job. The queue therefore need not promise more than to deliver at least
// once, and nothing in it is needed to go on after a crash.
//
// It is the only importer of the queue's client and server. It never writes
// files but those that Spool and Desk are told to.
package fleet
