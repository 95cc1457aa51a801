// Command truth writes the front of the demo's whole grid as CSV to standard
// output, and what else README.md beside it says to standard error.
//
// It flies what decides and no more. Whatever the timer is set to, the rocket
// rises the same way until the canopy opens, so that what holds of the shortest
// ascent bounds all others: where the earliest setting misses a limit on the
// ascent, every later one does. Of the rest it flies every setting.
package main

import (
	"context"
	"encoding/csv"
	"fmt"
	"log"
	"math"
	"os"
	"runtime"
	"slices"
	"strconv"

	"ullage/model"
	"ullage/optimize"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/optimize/sweep"
)

const timer = "recovery.delay"

// ofAscent lists the figures that a longer ascent can only make worse.
var ofAscent = []model.Figure{
	model.Margin, model.DryMargin, model.Acceleration, model.GuideSpeed, model.FlutterFactor, model.PeakIncidence, model.ProofRatio,
}

func main() {
	src, err := os.ReadFile("testdata/briefs/field-day.toml")
	if err != nil {
		log.Fatal(err)
	}
	b, err := brief.Parse("field-day.toml", src)
	if err != nil {
		log.Fatal(err)
	}
	p, err := study.Problem(b)
	if err != nil {
		log.Fatal(err)
	}
	last := len(b.Vary) - 1
	if b.Vary[last].Key != timer {
		log.Fatalf("the last varied quantity is %s, want %s", b.Vary[last].Key, timer)
	}
	whole, err := sweep.Grid(p.Variables)
	if err != nil {
		log.Fatal(err)
	}
	settings, _ := p.Variables[last].Values()
	rising := survivors(b, whole, settings)
	rest := sweep.Plan{
		Size: int64(len(rising)) * settings,
		At:   func(i int64, x []float64) { whole.At(rising[i/settings]+i%settings, x) },
	}
	var tally sweep.Tally
	tally.Advance(context.Background(), p, rest, rest.Size, runtime.NumCPU())
	write(b, p, rest, &tally)
	fmt.Fprintf(os.Stderr, "%d designs, %d of them flown, %d keep every limit, %d in the front\nworst feasible, as minimised: %v\nhypervolume below it: %.7g\n",
		whole.Size, whole.Size/settings+rest.Size, tally.Feasible, len(tally.Front), tally.Worst, volume(&tally))
}

// survivors returns the numbers of the designs that keep every limit on the
// ascent with the timer's earliest setting.
func survivors(b *brief.Brief, whole sweep.Plan, settings int64) []int64 {
	n := whole.Size / settings
	keeps := make([]bool, n)
	sweep.Each(context.Background(), 0, n, runtime.NumCPU(), func() func(i int64) {
		judge, scratch := study.NewJudge(b), model.NewScratch()
		x := make([]float64, len(b.Vary))
		return func(i int64) {
			whole.At(i*settings, x)
			r, s := b.At(x)
			f := model.Fly(&r, &s, scratch)
			keeps[i] = true
			for k, slack := range judge.Of(&r, &s, &f).Slacks {
				l := &b.Limits[k]
				if l.Quantity == nil && slices.Contains(ofAscent, l.Figure) && !(slack >= 0) {
					keeps[i] = false
				}
			}
		}
	})
	var numbers []int64
	for i, k := range keeps {
		if k {
			numbers = append(numbers, int64(i)*settings)
		}
	}
	return numbers
}

// write writes the front, sorted, with the digits that bring numbers back.
func write(b *brief.Brief, p *optimize.Problem, plan sweep.Plan, t *sweep.Tally) {
	rows := make([][]float64, len(t.Front))
	for i, m := range t.Front {
		x := make([]float64, len(p.Variables))
		plan.At(m.Number, x)
		rows[i] = append(x, b.Goals[0].Natural(m.Goals[0]), b.Goals[2].Natural(m.Goals[2]))
	}
	slices.SortFunc(rows, slices.Compare)
	out := csv.NewWriter(os.Stdout)
	header := []string{"fins_span_m", "chamber_throat_m", "chamber_fill", "payload_mass_kg", "recovery_delay_s", "apogee_m", "margin_cal"}
	if err := out.Write(header); err != nil {
		log.Fatal(err)
	}
	for _, row := range rows {
		text := make([]string, len(row))
		for k, v := range row {
			text[k] = strconv.FormatFloat(v, 'g', -1, 64)
		}
		if err := out.Write(text); err != nil {
			log.Fatal(err)
		}
	}
	out.Flush()
	if err := out.Error(); err != nil {
		log.Fatal(err)
	}
}

func volume(t *sweep.Tally) float64 {
	if t.Worst == nil {
		return math.NaN()
	}
	points := make([][]float64, len(t.Front))
	for i, m := range t.Front {
		points[i] = m.Goals
	}
	return optimize.Hypervolume(points, t.Worst)
}
