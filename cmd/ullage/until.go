package main

import (
	"context"
	"fmt"
	"time"
)

// until returns what work returns. Where ctx ends before that it errs with the
// exit code of an interrupt and leaves work to itself, for the program is about to
// end: work may read and fly, but writes nothing. of names what would have come of
// it.
func until[T any](ctx context.Context, of string, work func() (T, error)) (T, error) {
	type end struct {
		result T
		err    error
	}
	done := make(chan end, 1)
	go func() {
		result, err := work()
		done <- end{result, err}
	}()
	var e end
	select {
	case e = <-done:
	case <-ctx.Done():
	}
	if ctx.Err() != nil {
		e.err = coded{fmt.Errorf("%s: interrupted, nothing is written", of), exitInterrupted}
	}
	return e.result, e.err
}

// lastMoment is how long what is nearly done may still take when the program is
// told to end.
const lastMoment = 300 * time.Millisecond

// later returns a context that ends lastMoment after ctx. stop frees it.
func later(ctx context.Context) (late context.Context, stop func()) {
	late, end := context.WithCancel(context.WithoutCancel(ctx))
	forget := context.AfterFunc(ctx, func() { time.AfterFunc(lastMoment, end) })
	return late, func() { forget(); end() }
}
