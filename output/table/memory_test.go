package table

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/apache/arrow/go/v15/arrow/memory"
	parquetfile "github.com/apache/arrow/go/v15/parquet/file"
)

// kinds are a table with a column of each kind.
func kinds() Table {
	return Table{Columns: []Column{
		{Name: "truth", Unit: "1", Values: []bool{true, false, true}},
		{Name: "short", Unit: "1", Values: []int32{1, 2, 3}},
		{Name: "long", Unit: "1", Values: []int64{1, 2, 3}},
		{Name: "number", Unit: "m", Values: []float64{1, 2.5, 3}},
		{Name: "maybe", Unit: "m", Values: Nullable{1, math.NaN(), 3}},
		{Name: "text", Unit: "1", Values: []string{"a", "", "bcd"}},
		{Name: "list", Unit: "1", Values: [][]string{{"e"}, nil, {"f", "gh"}}},
	}}
}

// Memory is counted by what Go takes on a machine of 64 bits: of each value its own
// bytes, of a text a header of two words, of a list one of three.
func TestTableBytes(t *testing.T) {
	for i, want := range []int{3, 3 * 4, 3 * 8, 3 * 8, 3 * 8, 3*16 + 4, 3*24 + 3*16 + 4} {
		c := kinds().Columns[i]
		if got := (Table{Columns: []Column{c}}).bytes(); got != want {
			t.Errorf("%s takes %d bytes, want %d", c.Name, got, want)
		}
	}
	if got := kinds().bytes(); got != 3+12+24+24+24+52+124 {
		t.Errorf("all take %d bytes", got)
	}
}

// A footer that tells of more rows than a budget has room for is refused before a row
// is decoded; one that tells of as many is not.
func TestBudgetByTheFooter(t *testing.T) {
	path := filepath.Join(t.TempDir(), "t.parquet")
	for i, row := range []int{1, 4, 8, 8, 8, 16, 16} { // bytes at least
		if err := Write(path, Table{Columns: kinds().Columns[i : i+1]}, Meta{}); err != nil {
			t.Fatal(err)
		}
		for budget, want := range map[int]error{3 * row: nil, 3*row - 1: errWhole} {
			taken := 0
			_, err := scan(path, 3, nil, budget, func(part Table, rows int) error {
				taken += part.Rows()
				return nil
			})
			if !errors.Is(err, want) || (taken == 0) != (want != nil) {
				t.Errorf("%s with %d bytes: %v after %d rows, want %v", kinds().Columns[i].Name, budget, err, taken, want)
			}
		}
	}
	if err := Write(path, kinds(), Meta{}); err != nil {
		t.Fatal(err)
	}
	const all = 1 + 4 + 8 + 8 + 8 + 16 + 16
	for budget, want := range map[int]error{3 * all: nil, 3*all - 1: errWhole} {
		if _, err := scan(path, 3, nil, budget, func(Table, int) error { return nil }); !errors.Is(err, want) {
			t.Errorf("all with %d bytes: %v, want %v", budget, err, want)
		}
	}
	for most, taken := range map[int]bool{2: false, 3: true} {
		if _, _, err := Read(path, most); (err == nil) != taken {
			t.Errorf("at most %d rows: %v", most, err)
		}
	}
}

// Bounded memory gives as much as there is, and takes back what is freed.
func TestBoundedMemory(t *testing.T) {
	b := &bounded{memory.NewGoAllocator(), 100}
	refused := func(ask func()) (is bool) {
		defer func() {
			err, _ := recover().(error)
			is = errors.Is(err, errMemory)
		}()
		ask()
		return false
	}
	var first []byte
	if refused(func() { first = b.Allocate(60) }) || refused(func() { first = b.Reallocate(100, first) }) {
		t.Error("100 bytes of 100 are refused")
	}
	if !refused(func() { b.Allocate(1) }) {
		t.Error("a byte more is given")
	}
	b.left = 0
	b.Free(first)
	if refused(func() { b.Allocate(100) }) {
		t.Error("what was freed is not given again")
	}
	b = &bounded{memory.NewGoAllocator(), 100}
	old := b.Allocate(40)
	if !refused(func() { b.Reallocate(101, old) }) {
		t.Error("101 bytes of 100 are given in place of 40")
	}
}

// A row group holds 65 536 rows of a part, as many as other programs must take at a
// time; a table that is written whole is one group, and one without rows has one too.
func TestRowGroups(t *testing.T) {
	c := Column{Name: "truth", Unit: "1", Values: make([]bool, 1<<17+1)}
	for rows, groups := range map[int]int{0: 1, 1: 1, 1 << 16: 1, 1<<16 + 1: 2, 1 << 17: 2, 1<<17 + 1: 3} {
		part := Table{Columns: []Column{c}}.Slice(0, rows)
		data, err := EncodePart(part, Meta{})
		if err != nil {
			t.Fatal(err)
		}
		whole, err := Encode("t.parquet", part, Meta{})
		if err != nil {
			t.Fatal(err)
		}
		for want, data := range map[int][]byte{groups: data, 1: whole} {
			path := filepath.Join(t.TempDir(), "t.parquet")
			if err := os.WriteFile(path, data, 0o666); err != nil {
				t.Fatal(err)
			}
			got, _, err := Read(path, rows)
			if n := groupsOf(t, path); n != want || err != nil || got.Rows() != rows {
				t.Errorf("%d rows: %d groups, %d rows read, %v, want %d groups", rows, n, got.Rows(), err, want)
			}
		}
	}
}

// A reader finds the first column as well as the last, and says which is missing, of
// which type, and only the first.
func TestReader(t *testing.T) {
	read := Reader{Table: kinds()}
	if !read.Has("truth") || !read.Has("list") || read.Has("none") {
		t.Error("Has: want the first and the last, and no other")
	}
	if got := Values[bool](&read, "truth"); len(got) != 3 || !got[0] {
		t.Errorf("the first column: %v", got)
	}
	if got := read.SI("number", "rad"); got[1] != 2.5*(math.Pi/180) {
		t.Errorf("2.5 deg are %v", got[1])
	}
	if got := read.SI("maybe", "m"); got[0] != 1 || !math.IsNaN(got[1]) {
		t.Errorf("a column with what is not there: %v", got)
	}
	if read.Err != nil {
		t.Errorf("Err = %v, all were there", read.Err)
	}
	for _, row := range []struct {
		ask  func(r *Reader) int
		want string
	}{
		{func(r *Reader) int { return len(Values[bool](r, "short")) }, "no column short of type bool, want one"},
		{func(r *Reader) int { return len(Values[float64](r, "none")) }, "no column none of numbers, want one"},
		{func(r *Reader) int { return len(r.SI("text", "m")) }, "no column text of numbers, want one"},
		{func(r *Reader) int { return len(r.SI("none", "m")) }, "no column none of numbers, want one"},
	} {
		missing := Reader{Table: kinds()}
		if n := row.ask(&missing); n != 3 || missing.Err == nil || missing.Err.Error() != row.want {
			t.Errorf("%d values, %v, want as many as rows and %s", n, missing.Err, row.want)
		}
		missing.SI("other", "m")
		if missing.Err.Error() != row.want {
			t.Errorf("Err = %v, want the first", missing.Err)
		}
	}
	first := Reader{Table: Table{Columns: kinds().Columns[3:]}}
	if got := first.SI("number", "m"); got[1] != 2.5 || first.Err != nil {
		t.Errorf("numbers in the first column: %v, %v", got, first.Err)
	}
}

// Rows of each kind of column can be taken out.
func TestSlice(t *testing.T) {
	got, err := Encode("t.csv", kinds().Slice(1, 3), Meta{})
	if want := "truth,short,long,number,maybe,text,list\nfalse,2,2,2.5,,,\ntrue,3,3,3,3,bcd,f;gh\n"; err != nil || string(got) != want {
		t.Errorf("rows 2 and 3 = %q, %v, want %q", got, err, want)
	}
}

// Tables below each other have one line of names.
func TestCSVBelowEachOther(t *testing.T) {
	var out strings.Builder
	write := CSV(&out)
	for _, part := range []Table{kinds().Slice(0, 0), kinds().Slice(0, 1), kinds().Slice(2, 3)} {
		if err := write(part); err != nil {
			t.Fatal(err)
		}
	}
	if want := "truth,short,long,number,maybe,text,list\ntrue,1,1,1,1,a,e\ntrue,3,3,3,3,bcd,f;gh\n"; out.String() != want {
		t.Errorf("%q, want %q", out.String(), want)
	}
}

// An angle that is no number, or beyond all, is written as what it is.
func TestWrittenBeyondAngles(t *testing.T) {
	for _, v := range []float64{math.Inf(1), math.Inf(-1), math.MaxFloat64} {
		if got := Written(v, "rad"); !math.IsInf(got, int(math.Copysign(1, v))) {
			t.Errorf("%v rad are %v deg", v, got)
		}
	}
	if !math.IsNaN(Written(math.NaN(), "rad")) {
		t.Error("NaN is written as a number")
	}
	if got := Written(1e300, "m"); got != 1e300 {
		t.Errorf("1e300 m are written %v", got)
	}
	// 15 digits: the sixteenth of 1 rad in degrees is 3.
	if got := Written(1, "rad"); got != 57.2957795130823 {
		t.Errorf("1 rad is %v deg, want 15 digits", got)
	}
}

// What a row takes is what a part has more than one without rows, shared by its rows.
func TestBytesOfARow(t *testing.T) {
	all := kinds()
	length := func(rows int) int {
		data, err := EncodePart(all.Slice(0, rows), Meta{})
		if err != nil {
			t.Fatal(err)
		}
		return len(data)
	}
	for rows := range 4 {
		got, err := PartBytes(all.Slice(0, rows), Meta{})
		if want := float64(length(rows)-length(0)) / float64(max(rows, 1)); err != nil || got != want || (got > 0) != (rows > 0) {
			t.Errorf("%v bytes a row of %d, %v, want %v", got, rows, err, want)
		}
	}
	if _, err := PartBytes(Table{}, Meta{}); err == nil {
		t.Error("bytes of a row of no columns")
	}
}

func groupsOf(t *testing.T, path string) int {
	t.Helper()
	r, err := parquetfile.OpenParquetFile(path, false)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	return r.NumRowGroups()
}
