// Package constraints says how far a flight is from its limits: slack,
// violation, and when a limit binds. Start from Limit. Values are in SI units.
// It never flies anything.
package constraints
