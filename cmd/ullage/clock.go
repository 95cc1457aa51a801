package main

import "time"

// now tells the time; what it says goes only into figures of speed and into the
// pace of checkpoints. Tests let it jump.
var now = time.Now

// since returns the seconds since a time, at least a nanosecond, since speeds
// are worked out from it: a coarse clock may not have moved, and one without a
// monotonic reading may have been put back.
func since(t time.Time) float64 { return max(now().Sub(t).Seconds(), 1e-9) }
