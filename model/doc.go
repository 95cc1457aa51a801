// Package model computes the flight of a water rocket: planar rigid-body
// ascent on a water jet and a gas jet, coast, and descent under a canopy, the
// worse of as computed and nose first.
// Start from Rocket, Site and Fly.
//
// It assumes what the doc comments of its functions state, each with its
// source, and SI units with radians throughout. It never does I/O, logs, reads
// a clock or draws random numbers, and a flight allocates nothing once its
// Scratch exists.
package model
