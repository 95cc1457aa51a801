package fleet

import (
	"context"
	"errors"
	"slices"
	"sync"
	"testing"
)

// TestStretches cuts runs of designs into pieces.
func TestStretches(t *testing.T) {
	for _, c := range []struct {
		from, to int64
		want     [][2]int64
	}{
		{0, 30, [][2]int64{{0, 10}, {10, 20}, {20, 30}}},
		{5, 26, [][2]int64{{5, 15}, {15, 25}, {25, 26}}},
		{7, 8, [][2]int64{{7, 8}}},
		{7, 7, nil},
	} {
		var mu sync.Mutex
		var got [][2]int64
		err := stretches(t.Context(), c.from, c.to, 10, func(_ context.Context, from, to int64) error {
			mu.Lock()
			got = append(got, [2]int64{from, to})
			mu.Unlock()
			return nil
		})
		slices.SortFunc(got, func(a, b [2]int64) int { return int(a[0] - b[0]) })
		if err != nil || !slices.Equal(got, c.want) {
			t.Errorf("%d to %d: %v, %v, want %v", c.from, c.to, got, err, c.want)
		}
	}
	flaw := errors.New("flaw")
	err := stretches(t.Context(), 0, 30, 10, func(ctx context.Context, from, to int64) error {
		if from == 10 {
			return flaw
		}
		<-ctx.Done() // the error of one ends the others
		return ctx.Err()
	})
	if !errors.Is(err, flaw) {
		t.Errorf("%v, want %v", err, flaw)
	}
}
