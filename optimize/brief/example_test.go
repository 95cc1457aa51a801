package brief_test

import (
	"fmt"
	"os"

	"ullage/optimize/brief"
)

func Example() {
	src, err := os.ReadFile("../../testdata/briefs/field-day.toml")
	if err != nil {
		fmt.Println(err)
		return
	}
	b, err := brief.Parse("field-day.toml", src, "chamber.throat=9 mm")
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, v := range b.Vary {
		fmt.Println(v.Key, v.Text(v.From), "to", v.Text(v.To))
	}
	_, err = brief.Parse("field-day.toml", src, "chamber.throat=9")
	fmt.Println(err)
	// Output:
	// fins.span 80 mm to 180 mm
	// chamber.fill 0.12 to 0.45
	// payload.mass 40 g to 240 g
	// recovery.delay 4 s to 8 s
	// --set chamber.throat=9: chamber.throat: 9 has no unit, want a length such as "11 mm"
}
