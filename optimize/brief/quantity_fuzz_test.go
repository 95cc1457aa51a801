package brief

import (
	"math"
	"strconv"
	"testing"
)

// FuzzQuantity holds that a value with its unit never makes the parser panic:
// it gives a finite number or one fault, never both, in every dimension; and
// that a number, written as people write it, reads back to the digits shown.
func FuzzQuantity(f *testing.F) {
	for _, s := range []string{
		"9 mm", "9mm", " -1.5e-3  kg/m3 ", "1 500 hPa", "1,5 bar", "15 bar", "174 psi", "-459.67 degF", "20 g", "30 %", "60 N s", ".5 l", "5. s",
		"1e308 GPa", "1e999 m", "1e-400 m", "nan m", "inf", "0x1p4 m", "9", "mm", "", "+", "1_000", "٣ m", "9 µm", "9\x00mm",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for si := range dimensions {
			for _, k := range []kind{text, number} {
				for _, m := range []measure{{unit: si}, {unit: si, difference: true}, {unit: si, water: 4.5e-3}} {
					p := &parser{}
					v, ok := p.read(&node{key: "x", kind: k, text: s}, m)
					if ok == (len(p.faults) > 0) || len(p.faults) > 1 || math.IsNaN(v) || math.IsInf(v, 0) {
						t.Errorf("%q in %s (%+v): %v, %v, faults %v", s, si, m, v, ok, p.faults)
					}
				}
			}
		}
		for i := range quantities {
			q := &quantities[i]
			v, ok := (&parser{}).read(&node{kind: text, text: s}, measure{unit: q.Unit})
			if !ok || !q.Holds(v) {
				continue
			}
			shown := &node{kind: text, text: q.Text(v)}
			if _, err := strconv.ParseFloat(shown.text, 64); err == nil {
				shown.kind = number
			}
			again, ok := (&parser{}).read(shown, measure{unit: q.Unit})
			if digits := 1e-5 * max(math.Abs(v), math.Abs(q.Max)*1e-9); !ok || math.Abs(again-v) > digits {
				t.Errorf("%s: %q is %v, shown as %q, which is %v", q.Key, s, v, shown.text, again)
			}
		}
	})
}
