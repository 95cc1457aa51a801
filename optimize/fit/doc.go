// Package fit estimates what a brief only assumes, drag, jet, canopy, latency,
// from the logs of flights, and says what the logs cannot tell. Start from
// ReadLog, Fit and Result; Solve is the least-squares solver behind them.
//
// It assumes that the model's flight differs from the log's by those numbers,
// by the instant of lift-off, the altimeter's zero, and noise; what else the
// rocket did differently ends up in the estimates. It never does I/O, logs,
// reads a clock or draws global random numbers.
package fit
