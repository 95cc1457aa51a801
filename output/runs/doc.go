// Package runs keeps a run's folder: its lock, the brief, run.json and the hash
// of every file in it, the checkpoints of a search and the parts of a sweep.
// Start from Create, Resume and Read.
//
// A folder belongs to one process at a time, and run.json is written last. The
// hashes and the seals tell damage, not forgery: a folder from elsewhere is
// foreign input.
package runs
