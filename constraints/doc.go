// Package constraints says how far a flight is from its limits: slack,
// violation, when a limit binds, and what many flights under scatter tell of
// it. Start from Limit, Spread and Chance. Values are in SI units. It never
// flies anything and draws no random numbers.
package constraints
