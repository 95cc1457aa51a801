package wording

import (
	"fmt"
	"strings"

	"ullage/model"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/output/table"
	"ullage/output/text"
)

// doubted says in words what is not known of a rocket, by the key of the
// quantity that is doubted.
var doubted = map[string]string{
	"body.drag":               "drag",
	"chamber.jet":             "the water jet",
	"chamber.gas_thrust":      "the gas jet's thrust",
	"recovery.drag":           "the canopy's drag",
	"recovery.latency":        "door and line",
	"chamber.pressure":        "the gauge",
	"chamber.drawn":           "air drawn into the last water",
	"chamber.gas_temperature": "how warm the gas is",
	"chamber.growth":          "how much the chamber grows",
}

// Doubts says how far figures of a design of b may be off, a line each: the
// value as modelled, what 5 and 95 % of the flights over what is not known lie
// below, and what weighs most.
func Doubts(b *brief.Brief, doubts []answers.Doubt) []string {
	return table.Gather(doubts, func(d answers.Doubt) string {
		info := model.Figures[d.Figure]
		show := text.Show(info.Key, info.Unit)
		line := fmt.Sprintf("%s %s as modelled; %s", text.Words(info.Key), strings.TrimSpace(show.Number(d.Value)+" "+show.Unit), Doubt(b, &d, show))
		if d.Most != nil {
			line += ", most of it for " + doubted[d.Most.Key]
		}
		return line
	})
}

// Doubt says between what a figure of a design of b may lie, in the unit of show
// but without it, and whether that is before or after flights were measured.
func Doubt(b *brief.Brief, d *answers.Doubt, show text.Shown) string {
	when := "before any measured flight"
	if b.Fitted != "" {
		when = "after the fit"
	}
	return fmt.Sprintf("%s to %s %s", show.Number(d.Low), show.Number(d.High), when)
}
