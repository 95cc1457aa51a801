package brief_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"ullage/optimize/brief"
)

// Every number that a brief takes, it takes from the least to the most that the table
// of keys prints for it, both included, and refuses with that range what lies beyond
// either.
func TestEveryBound(t *testing.T) {
	src := read(t, demos+"field-day.toml")
	tried := 0
	for _, k := range brief.KeysOf("") {
		from, to, ranged := strings.Cut(k.Range, " to ")
		if k.IsFigure || !ranged || strings.HasPrefix(k.Name, "part.") || strings.Contains(k.Name, "search.") && k.Name != "search.robust.confidence" || k.Name == "chamber.cycles" {
			continue
		}
		tried++
		q := brief.MustQuantity(k.Name)
		for text, bound := range map[string]float64{from: q.Min, to: q.Max} {
			if v, err := q.Read(text); err != nil || math.Abs(v-bound) > 1e-5*math.Abs(bound) {
				t.Errorf("%s: %s is %v, %v, want %v", k.Name, text, v, err, bound)
			}
		}
		for _, beyond := range []float64{q.Min - 1e-4*(q.Max-q.Min), q.Max + 1e-4*(q.Max-q.Min)} {
			text := q.Text(beyond)
			_, err := brief.Parse("x.toml", src, k.Name+"="+text)
			shown := text
			if strings.Contains(text, " ") {
				shown = strconv.Quote(text)
			}
			want := fmt.Sprintf("--set %s=%s: %s: %s, want %s", k.Name, text, k.Name, shown, k.Range)
			if err == nil || !strings.Contains(err.Error(), want) {
				t.Errorf("%s = %s: %v, want %s", k.Name, text, err, want)
			}
		}
	}
	if tried < 60 {
		t.Errorf("%d keys have a range, want at least 60", tried)
	}
}

// Counts have a least and a most, both included; a fin count is one of
// three.
func TestEveryCount(t *testing.T) {
	src := read(t, demos+"field-day.toml")
	for _, c := range []struct {
		key         string
		least, most uint64
	}{
		{"chamber.cycles", 0, 1_000_000},
		{"search.seed", 0, 1<<63 - 1},
		{"search.islands", 0, 256},
		{"search.population", 0, 10_000},
		{"search.flights", 1, 100_000_000},
		{"search.front", 1, 5000},
		{"search.robust.draws", 16, 100_000},
	} {
		inside := []uint64{c.least, c.most}
		beyond := []string{strconv.FormatUint(c.most+1, 10), strconv.FormatInt(int64(c.least)-1, 10)}
		for _, v := range inside {
			_, err := brief.Parse("x.toml", src, fmt.Sprintf("%s=%d", c.key, v))
			if want := fmt.Sprintf(", want %d to %d", c.least, c.most); err != nil && strings.Contains(err.Error(), want) {
				t.Errorf("%s = %d: %v", c.key, v, err)
			}
		}
		for _, v := range beyond {
			_, err := brief.Parse("x.toml", src, c.key+"="+v)
			want := fmt.Sprintf("--set %s=%s: %s: %s, want %d to %d", c.key, v, c.key, v, c.least, c.most)
			if v == "9223372036854775808" { // no whole number that a brief can hold
				want = "want a whole number"
			}
			if err == nil || !strings.Contains(err.Error(), want) {
				t.Errorf("%s = %s: %v, want %s", c.key, v, err, want)
			}
		}
	}
	for count := range 9 {
		_, err := brief.Parse("x.toml", src, fmt.Sprintf("fins.count=%d", count))
		if sound := count == 3 || count == 4 || count == 6; (err == nil) != sound {
			t.Errorf("fins.count = %d: %v, sound is %v", count, err, sound)
		}
	}
}

// A count, a word and a text are each refused as what they are not.
func TestKindsOfValue(t *testing.T) {
	for value, want := range map[string]string{
		"search.front=10 m":        `search.front: "10 m", want a whole number`,
		"search.front=1.5":         `search.front: 1.5, want a whole number`,
		"fins.count=three":         `fins.count: "three", want a whole number such as 3`,
		"fins.edges=3":             `fins.edges: 3, want cut, radiused or faired`,
		"chamber.gas=wet":          `chamber.gas: "wet", want moist or dry`,
		"chamber.proof_date=today": `chamber.proof_date: "today", want a date such as 2026-03-14`,
		"site.humidity=0.5 m":      `site.humidity: "0.5 m" is a length, want a ratio such as 0.55`,
		"site.humidity=nan":        `site.humidity: "nan", want a ratio such as 0.55`,
		"chamber.fill=1e300 kg":    `chamber.fill: "1e300 kg", want 0.01 to 0.95`,
	} {
		_, err := brief.Parse("x.toml", read(t, demos+"field-day.toml"), value)
		if want = "--set " + value + ": " + want; err == nil || err.Error() != want {
			t.Errorf("%v, want %s", err, want)
		}
	}
}
