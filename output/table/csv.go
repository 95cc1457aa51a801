package table

import (
	"bytes"
	"encoding/csv"
	"math"
	"strconv"
	"strings"
)

// encodeCSV writes a table as RFC 4180 has it, in UTF-8, with the names of the
// columns in the first line. What is not there is empty, lists are joined by
// semicolons, and a number has the fewest digits that bring it back. The
// metadata stays behind, for a CSV has no place for it.
func encodeCSV(t Table) ([]byte, error) {
	if err := t.check(); err != nil {
		return nil, err
	}
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	record := Gather(t.Columns, func(c Column) string { return c.Name })
	for row := -1; row < t.Rows(); row++ {
		if row >= 0 {
			for i, c := range t.Columns {
				record[i] = plain(c.Values, row)
			}
		}
		if err := w.Write(record); err != nil {
			return nil, err
		}
	}
	w.Flush()
	return out.Bytes(), w.Error()
}

// plain writes one value.
func plain(values any, row int) string {
	switch v := values.(type) {
	case []float64:
		return shortest(v[row])
	case Nullable:
		if math.IsNaN(v[row]) {
			return ""
		}
		return shortest(v[row])
	case []int32:
		return strconv.Itoa(int(v[row]))
	case []int64:
		return strconv.FormatInt(v[row], 10)
	case []bool:
		return strconv.FormatBool(v[row])
	case []string:
		return v[row]
	}
	return strings.Join(values.([][]string)[row], ";")
}

func shortest(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
