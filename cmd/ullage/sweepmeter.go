package main

import "fmt"

// measure starts a meter of a sweep at the flights of earlier sessions.
func (s streams) measure(total, before int64, quiet bool) *meter {
	m := &meter{total: total, before: before, job: "sweep"}
	m.flights.Store(before)
	width := len(fmt.Sprint(total))
	m.tail = func() string { return fmt.Sprintf("%*d feasible ", width, m.feasible.Load()) }
	m.facts = func() []any {
		return []any{"feasible", m.feasible.Load(), "left", lasting(float64(total-m.flights.Load()) / m.rate())}
	}
	m.run(s.err, quiet)
	return m
}
