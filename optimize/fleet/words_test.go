package fleet

import (
	"reflect"
	"strings"
	"testing"

	"ullage/optimize"
	"ullage/optimize/brief"
	"ullage/optimize/study"
)

// A worker has words and fin counts from the brief of its job: it flies what is
// flown at home, through the wire form of islands.
func TestWordsElsewhere(t *testing.T) {
	_, _, j := demo(t)
	j.Source = []byte(strings.Replace(string(j.Source), "[vary]\n", `[vary]
"fins.count" = { choices = [4, 3] }
"fins.edges" = { choices = ["radiused", "faired", "cut"] }
"body.nose.shape" = { choices = ["cone", "parabola", "ogive"] }
`, 1))
	b, err := brief.Parse(j.Name, j.Source)
	if err != nil {
		t.Fatal(err)
	}
	p, err := study.Problem(b)
	if err != nil {
		t.Fatal(err)
	}
	d, _ := queue(t)
	staff(t, d, 2)
	got := search(t, p, Epochs(d.Ask, j, settings))
	if want := search(t, p, optimize.Local(p, settings, 2)); !reflect.DeepEqual(got, want) {
		t.Error("the outcome differs from that at home")
	}
}
