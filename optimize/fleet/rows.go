package fleet

import (
	"encoding/binary"
	"fmt"
	"math"
	"slices"

	"ullage/model"
	"ullage/optimize/study"
)

// The rows of a stretch follow each other, each of a fixed length: a byte for
// the outcome, one for feasible, one for each limit that says whether it was
// missed, and eight for each number, the lowest first.
type rowWriter struct{ bytes []byte }

// outcomes are the names behind the first byte of a row.
var outcomes = func() []string {
	names := []string{study.Panicked}
	for o := model.Landed; o <= model.TimeLimit; o++ {
		names = append(names, o.String())
	}
	return names
}()

func (w *rowWriter) add(k *study.Kept) {
	w.bytes = append(w.bytes, byte(slices.Index(outcomes, k.Outcome)), truth(k.Feasible))
	for _, missed := range k.Missed {
		w.bytes = append(w.bytes, truth(missed))
	}
	for _, v := range k.Numbers {
		w.bytes = binary.LittleEndian.AppendUint64(w.bytes, math.Float64bits(v))
	}
}

func truth(b bool) byte {
	if b {
		return 1
	}
	return 0
}

// EachRow calls take for every row of the answer to a stretch of n designs of
// which that many numbers were kept; k is only valid during the call. Anything
// that no worker writes is refused before the first call.
func EachRow(body []byte, n, limits, numbers int, take func(i int, k *study.Kept)) error {
	width := 2 + limits + 8*numbers
	if len(body) != n*width {
		return fmt.Errorf("rows: %w: %d bytes, want %d rows of %d", ErrDamaged, len(body), n, width)
	}
	for i := range n {
		row := body[i*width:]
		for _, b := range row[1 : 2+limits] {
			if b > 1 {
				return fmt.Errorf("rows: %w: row %d", ErrDamaged, i)
			}
		}
		if int(row[0]) >= len(outcomes) {
			return fmt.Errorf("rows: %w: row %d has outcome %d", ErrDamaged, i, row[0])
		}
		for k := range numbers {
			if v := number(row[2+limits:], k); math.IsInf(v, 0) {
				return fmt.Errorf("rows: %w: row %d is not finite", ErrDamaged, i)
			}
		}
	}
	kept := study.Kept{Numbers: make([]float64, numbers), Missed: make([]bool, limits)}
	for i := range n {
		row := body[i*width:]
		kept.Outcome, kept.Feasible = outcomes[row[0]], row[1] == 1
		for k := range limits {
			kept.Missed[k] = row[2+k] == 1
		}
		for k := range numbers {
			kept.Numbers[k] = number(row[2+limits:], k)
		}
		take(i, &kept)
	}
	return nil
}

func number(row []byte, k int) float64 {
	return math.Float64frombits(binary.LittleEndian.Uint64(row[8*k:]))
}
