package wording_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/internal/sample"
	"ullage/output/runs"
	"ullage/output/wording"
	"ullage/testdata/kept"
)

// TestKeptSentences keeps what is said of a broad brief, as set and as proved.
func TestKeptSentences(t *testing.T) {
	var out strings.Builder
	say := func(name string, lines ...string) { fmt.Fprintf(&out, "=== %s\n%s\n", name, strings.Join(lines, "\n")) }
	plan, plain := sample.Broad("")
	robust, proved := sample.Proved()
	for _, of := range []struct {
		name string
		b    *brief.Brief
		rows []study.Row
	}{{"as set", plan, plain}, {"proved", robust, proved}} {
		b, rows := of.b, of.rows
		say(of.name+": class, not judged", wording.ClassName(b), wording.NotJudged(b))
		say(of.name+": ends", wording.Ends(b, rows)...)
		for i := range rows {
			say(fmt.Sprintf("%s: how near row %d", of.name, i+1), wording.HowNear(b, rows[i:])...)
			say("its limits", wording.LimitWords(b, &rows[i], []string{"drift"})...)
		}
		for i := range b.Goals {
			c := wording.GoalColumn(b, i, rows)
			say(fmt.Sprintf("%s: goal %s", of.name, b.Goals[i].Key), strings.Join(c.Head[:], " | "), strings.Join(c.Cells, " | "))
		}
		a := told(b)
		record := wording.Record(b, &a, rows, sample.Doubts())
		say(of.name+": knee", record.Knee)
		say(of.name+": the knee of what misses limits", wording.Record(b, &a, rows[1:3], nil).Knee)
		say(of.name+": doubts", record.Doubts...)
		for _, p := range record.Prices {
			say("price", fmt.Sprintf("%+v", p))
		}
		for _, band := range record.Bands {
			say("band", fmt.Sprintf("%+v", band))
		}
		say("prices", wording.Prices(record.Prices)...)
		say("bands", wording.Bands(record.Bands)...)
	}
	none := plain[0]
	none.Figures, none.X = sample.Figures(nil), []float64{1, 3, 0.01, math.NaN(), 0}
	say("the knee of what has no numbers", wording.Record(plan, &answers.Answers{}, []study.Row{none}, nil).Knee)
	say("nothing is near", wording.HowNear(plan, nil)...)
	fitted, _ := sample.Broad("")
	fitted.Rocket.Recovery = model.Recovery{}
	say("no canopy", wording.NotJudged(fitted))
	fitted.Fitted = "log.csv"
	say("doubts after a fit", wording.Doubts(fitted, sample.Doubts())...)
	sayCompared(say)
	say("proofs", wording.Proved(&runs.Proof{Draws: 200, Confidence: 0.9, Screened: 40, Each: 500, Checked: 12, Dropped: 3}), wording.Proved(&runs.Proof{Draws: 200, Confidence: 0.9, Checked: 12, Dropped: 3}))
	say("cautions", wording.Cautions(5432, 6.118e5, 12.34e5)...)
	s := model.Statics{Aboard: model.Weighed{Payload: 0.08, Ballast: 0.03}}
	say("weighed", wording.WeighedWith(&s))
	s.Aboard.Canopy = 0.0505
	say("weighed with its canopy", wording.WeighedWith(&s))
	kept.Same(t, "sentences.txt", out.String())
}

// sayCompared says what runs are beside each other.
func sayCompared(say func(name string, lines ...string)) {
	c := output.Compare([]output.Compared{
		{Name: "runs/a", Brief: sample.Brief(""), Rows: sample.Rows()},
		{Name: "runs/b\x1b[2J", Brief: sample.Brief("", "site.wind=4 m/s", "chamber.fill=0.25"), Rows: better()},
		{Name: "runs/c", Brief: sample.Brief(""), Rows: sample.Rows()[1:]},
	})
	for i := range c.Runs[1:] {
		say(wording.ComparedWith(&c.Runs[0], &c.Runs[i+1]), wording.Changes(&c.Runs[0], &c.Runs[i+1])...)
	}
	say("beaten", wording.Beaten(c)...)
	say("beaten by the first", wording.Beaten(output.Compare([]output.Compared{{Name: "a", Brief: sample.Brief(""), Rows: better()}, {Name: "b", Brief: sample.Brief(""), Rows: sample.Rows()}}))...)
}

// told are answers of b with prices and bands of every kind.
func told(b *brief.Brief) answers.Answers {
	return answers.Answers{
		Prices: []answers.Price{{Limit: &b.Limits[0], PerUnit: 0.012}, {Limit: &b.Limits[4], PerUnit: 57.3}, {Limit: &b.Limits[7], PerUnit: 1.5}},
		Bands: []answers.Band{
			{Quantity: brief.MustQuantity("chamber.throat"), From: answers.End{Value: 0.0105, By: "margin"}, To: answers.End{Value: 0.0123, By: "apogee"}},
			{Quantity: brief.MustQuantity("site.tilt"), From: answers.End{Value: 0, By: "margin"}, To: answers.End{Value: 0.035, By: "margin"}},
			{Quantity: brief.MustQuantity("fins.count"), From: answers.End{Value: 3}, To: answers.End{Value: 4, By: "drift"}},
			{Quantity: brief.MustQuantity("chamber.fill"), From: answers.End{Value: 0.25, By: "drift"}, To: answers.End{Value: 0.3}},
			{Quantity: brief.MustQuantity("payload.mass"), From: answers.End{Value: 0.04}, To: answers.End{Value: 0.24}},
		},
	}
}

// better are rows of the sample that beat both of its own.
func better() []study.Row {
	rows := sample.Rows()
	for i := range rows {
		rows[i].Figures[model.Apogee] += 10
		rows[i].Slacks = []float64{1, 1, 1, 1}
	}
	return rows
}

// The least kept of the limits that some flights miss come first, and limits that
// all keep are not told.
func TestLeastKeptFirst(t *testing.T) {
	b, rows := sample.Robust()
	for i, met := range []int{59, 60, 41, 40} {
		rows[0].Proof.Chances[i] = constraints.Chance{Met: met, Flights: 60}
	}
	b.Search.Robust.Confidence = 0.4
	rows[0].Proof.Held = true
	if got := strings.Join(wording.LimitWords(b, &rows[0], nil), " "); got != "proof_ratio chamber.pressure margin" {
		t.Errorf("LimitWords = %s", got)
	}
}
