package report

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"strings"
	"testing"
)

// TestCompare holds that the picture is XML, names its logs, has a dot for each
// reading and residual and none for what is missing, and is the same each time.
func TestCompare(t *testing.T) {
	logs := []Comparison{
		{Name: "one.csv", Time: []float64{0, 1, 2, 3}, Logged: []float64{0, 5, math.NaN(), 9}, Says: []float64{0, 5.5, 7, 8}},
		{Name: "two <&> more.csv", Time: []float64{0, 1}, Logged: []float64{0, 5}, Says: []float64{1, 4}},
	}
	picture := Compare(logs)
	text := ""
	decoder := xml.NewDecoder(bytes.NewReader(picture))
	for {
		token, err := decoder.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if c, ok := token.(xml.CharData); ok {
			text += string(c)
		}
	}
	for _, want := range []string{"one.csv", "two <&> more.csv", "fitted model", "log − model, m", "time after lift-off, s"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in the picture", want)
		}
	}
	if want := `viewBox="0 0 794 396" `; !bytes.Contains(picture, []byte(want)) {
		t.Errorf("the picture begins %.200s, want %s: two logs beside each other, the residuals below", picture, want)
	}
	if !bytes.Equal(picture, Compare(logs)) {
		t.Error("another picture of the same")
	}
	logs[0].Logged[2] = 7
	if more := Compare(logs); len(more) <= len(picture) {
		t.Errorf("%d bytes with one more reading, %d before", len(more), len(picture))
	}
}
