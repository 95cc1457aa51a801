package fleet

import "time"

// A pace is how long is waited for what.
type pace struct {
	patience time.Duration // without a beat, and a job is given to another worker
	grace    time.Duration // for a job without a flight or a byte, whatever the beats
	quiet    time.Duration // without an answer, and those who wait are told why
}

var usual = pace{patience: 5 * time.Second, grace: time.Minute, quiet: 30 * time.Second}

const (
	slowFlight = 4 * time.Millisecond // a hundred times what a flight takes
	slowLine   = 32 << 10             // bytes a second
)

// bound returns how long a worker may hold a job of so many flights, with so
// many bytes to carry there and back.
func (p pace) bound(flights, bytes int64) time.Duration {
	return p.grace + time.Duration(flights)*slowFlight + time.Duration(bytes)*time.Second/slowLine
}
