package fit

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// TestStudent holds the factors to those of tables (CRC Standard Mathematical
// Tables, percentage points of Student's distribution; from memory) and to an
// independent quantile.
func TestStudent(t *testing.T) {
	for _, c := range []struct {
		share float64
		n     int
		want  float64
	}{
		{0.9, 1, 6.314}, {0.9, 2, 2.920}, {0.9, 3, 2.353}, {0.9, 4, 2.132}, {0.9, 10, 1.812}, {0.9, 30, 1.697}, {0.9, 120, 1.658}, {0.95, 10, 2.228}, {0.5, 7, 0.711},
	} {
		if got := student(c.share, c.n); math.Abs(got-c.want) > 6e-4 {
			t.Errorf("student(%v, %d) = %v, want %v", c.share, c.n, got, c.want)
		}
	}
	for _, n := range []int{1, 2, 3, 4, 5, 17, 100, 591, 9000} {
		want := distuv.StudentsT{Sigma: 1, Nu: float64(n)}.Quantile(0.95)
		if got := student(0.9, n); math.Abs(got/want-1) > 1e-8 {
			t.Errorf("student(0.9, %d) = %v, want %v", n, got, want)
		}
	}
}
