package wording

import (
	"fmt"
	"strings"

	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output/runs"
	"ullage/output/table"
	"ullage/output/text"
)

// Record returns the answers about a front of b as run.json keeps them, in the
// units of files: a, with the knee of rows and with the doubts of its first row.
// It returns nil where a is nil.
func Record(b *brief.Brief, a *answers.Answers, rows []study.Row, doubts []answers.Doubt) *runs.Answers {
	switch {
	case a == nil:
		return nil
	case a.Hardest != nil:
		return &runs.Answers{Hardest: Hardest(*a.Hardest)}
	}
	goal := &b.Goals[0]
	r := &runs.Answers{Goal: goal.Key, Knee: knee(b, rows), Doubts: Doubts(b, doubts)}
	for _, p := range a.Prices {
		r.Prices = append(r.Prices, runs.Price{
			Limit: p.Limit.Metric.Key, Goal: goal.Key,
			PerUnit: table.Written(p.PerUnit, goal.Unit) / table.Written(1, p.Limit.Unit),
			Unit:    table.Unit(goal.Unit) + " per " + table.Unit(p.Limit.Unit),
		})
	}
	for _, band := range a.Bands {
		r.Bands = append(r.Bands, runs.Band{
			Quantity: band.Key, Unit: table.Unit(band.Unit),
			From: table.Written(band.From.Value, band.Unit), FromBy: band.From.By,
			To: table.Written(band.To.Value, band.Unit), ToBy: band.To.By,
		})
	}
	return r
}

// Hardest says which limit the nearest designs miss most often, or that none of
// them could be flown to its end.
func Hardest(h answers.Hardest) string {
	if h.Limit == nil {
		return "none could be flown to its end"
	}
	return fmt.Sprintf("the hardest is %s: %d of the %d nearest designs miss it", h.Limit.Metric.Key, h.Missed, h.Of)
}

// Prices says what limits cost the first goal, a line each. A price whose limit or
// goal this build does not know is left out.
func Prices(prices []runs.Price) []string {
	var lines []string
	for _, p := range prices {
		goal, known := brief.MetricByKey(p.Goal)
		limit, limited := brief.MetricByKey(p.Limit)
		if !known || !limited {
			continue
		}
		of, per := text.Show(goal.Key, table.Unit(goal.Unit)), text.Show(limit.Key, table.Unit(limit.Unit))
		each := per.Unit
		if each == "" {
			each = "unit"
		}
		costs := strings.TrimSpace(text.Three(p.PerUnit*of.Scale/per.Scale) + " " + of.Unit)
		lines = append(lines, fmt.Sprintf("%s costs %s of %s per %s", limit.Key, costs, goal.Key, each))
	}
	return lines
}

// Bands says how far quantities may move, one an entry. A band whose quantity this
// build does not know is left out.
func Bands(bands []runs.Band) []string {
	var lines []string
	for _, band := range bands {
		if q := brief.QuantityByKey(band.Quantity); q != nil {
			s := text.Show(q.Key, table.Unit(q.Unit))
			line := strings.TrimSpace(fmt.Sprintf("%s %s to %s %s", q.Key, s.Number(band.From), s.Number(band.To), s.Unit))
			lines = append(lines, line+stoppedBy(text.Plain(band.FromBy, text.TitleLength), text.Plain(band.ToBy, text.TitleLength)))
		}
	}
	return lines
}

// stoppedBy says which limits or goal end a band; nothing where only its range
// does.
func stoppedBy(below, above string) string {
	switch {
	case below == "" && above == "":
		return ""
	case below == above:
		return ", stopped by " + below
	case above == "":
		return ", below by " + below
	case below == "":
		return ", above by " + above
	}
	return ", stopped by " + below + " and " + above
}
