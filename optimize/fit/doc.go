// Package fit estimates what a brief only assumes, drag, jet, canopy, latency,
// from logs of flights and from what was seen without a logger, and says what
// they cannot tell. Start from ReadLog and ReadObservation, Fit and Result;
// Solve is the least-squares solver behind them.
//
// It assumes that the model's flight differs from the log's by those numbers,
// by the instant of lift-off, the altimeter's zero, and noise; what else the
// rocket did differently ends up in the estimates. It never does I/O, logs,
// reads a clock or draws global random numbers.
package fit
