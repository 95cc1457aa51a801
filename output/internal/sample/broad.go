package sample

import (
	"math"
	"strings"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize"
	"ullage/optimize/brief"
	"ullage/optimize/study"
)

// class has a limit of its own, and one that the brief has too.
const class = `title = "Eight bar"
[limits]
"chamber.pressure" = { at_most = "8 bar" }
dry_mass = { at_most = "800 g" }
`

// Broad returns a brief with all that pages and listings tell apart, and rows of
// it, with invented numbers: goals of every sense, one with a cap; words, a list and
// a number to choose from; limits of a class, of both sides, on a size, and on a
// quantity that varies; a room and a ceiling. Of the rows the second misses limits,
// the third does not have a number that is a goal and limited, the fourth stands at
// an end of its ranges. More is more lines of its source.
func Broad(more string, set ...string) (*brief.Brief, []study.Row) {
	text := strings.NewReplacer(
		`title = "A plan"`, `title = "A broad plan"`,
		"[goals]\n", "[goals]\nmargin = { highest = true, up_to = 2.0 }\nflight_time = { nearest = \"30 s\" }\nmax_speed = \"lowest\"\n",
		"[limits]\n", "[limits]\ndrift = { at_most = \"40 m\" }\nguide_speed = { at_least = \"14 m/s\", at_most = \"30 m/s\" }\n\"payload.mass\" = { at_least = \"50 g\" }\n",
		"margin = { at_least = 1.0 }\n", "margin = { at_least = 1.0, at_most = 3 }\n",
		"\"chamber.pressure\" = { at_most = \"8 bar\" }\n", "",
		"[vary]\n", "[vary]\n\"fins.edges\" = { choices = [\"cut\", \"radiused\", \"faired\"] }\n\"fins.count\" = { choices = [3, 4, 6] }\n",
		"station = \"1.185 m\"\n", "station = \"1.185 m\"\nedges = \"radiused\"\n",
		"tilt = \"2 deg\"\n", "tilt = \"2 deg\"\nwind = \"3 m/s\"\nfield_upwind = \"60 m\"\nceiling = \"150 m\"\n",
	).Replace(source)
	src, err := brief.WithClass("plan.toml", []byte(text+more), "classes/eight.toml", []byte(class))
	if err != nil {
		panic(err)
	}
	b, err := brief.Parse("plan.toml", src, set...)
	if err != nil {
		panic(err)
	}
	type figures = map[model.Figure]float64
	rows := []study.Row{
		broadRow(b, 1, []float64{2, 4, 0.011, 0.08, 2 * degree}, 0, figures{
			model.Apogee: 142.3, model.Margin: 1.32, model.FlightTime: 31.25, model.MaxSpeed: 55.5, model.PeakIncidence: 4 * degree,
			model.Drift: -39.8, model.GuideSpeed: 16.5, model.DryMass: 0.7123, model.DeploySpeed: 9.87, model.LandingSpeed: 4.96,
			model.Acceleration: 196.133, model.ProofRatio: 2,
		}),
		broadRow(b, 2, []float64{1, 3, 0.0085, 0.24, 0}, model.MachHigh|model.FillExtreme, figures{
			model.Apogee: 98.449, model.Margin: 0.9, model.FlightTime: 24, model.MaxSpeed: 43.21, model.PeakIncidence: 5.5 * degree,
			model.Drift: 61, model.GuideSpeed: 12.75, model.DryMass: 0.8725, model.ProofRatio: 2,
		}),
		broadRow(b, 3, []float64{3, 6, 0.0095, 0.1, degree}, 0, figures{
			model.Apogee: 120.05, model.Margin: 2.25, model.FlightTime: 29.5, model.MaxSpeed: 50, model.Drift: 12.5, model.GuideSpeed: 31,
			model.DryMass: 0.79, model.ProofRatio: 2,
		}),
		broadRow(b, 4, []float64{2, 3, 0.016, 0.24, 5 * degree}, 0, figures{
			model.Apogee: 150, model.Margin: 2.5, model.FlightTime: 35, model.MaxSpeed: 61, model.PeakIncidence: 4.99 * degree,
			model.Drift: 20, model.GuideSpeed: 20, model.DryMass: 0.75, model.ProofRatio: 2,
		}),
	}
	return b, rows
}

func broadRow(b *brief.Brief, design int, x []float64, warnings model.Warnings, figures map[model.Figure]float64) study.Row {
	r := study.Row{Design: design, X: x, Outcome: model.Landed, Warnings: warnings, Figures: Figures(figures)}
	rocket, site := b.At(x)
	for i := range b.Limits {
		l := &b.Limits[i]
		v := r.Figures[l.Figure]
		if l.Quantity != nil {
			v = l.Quantity.There(&rocket, &site)
		}
		r.Slacks = append(r.Slacks, l.Slack(v))
	}
	return r
}

// Proved returns Broad with a robust search, and what is proved of its first two
// rows: of the first every limit but one is kept in most of its flights, of the
// second none.
func Proved() (*brief.Brief, []study.Row) {
	b, rows := Broad("[scatter]\n\"body.drag\" = \"5 %\"\n\"site.wind\" = \"1 m/s\"\n[search]\nfront = 4\nflights = 90000\nrobust = { draws = 200, confidence = 0.9 }\n")
	flights := b.Plan().Days
	for i := range rows[:2] {
		p := &study.Proof{
			Design: optimize.Design{Result: optimize.Result{Goals: []float64{-1.25, 2.5 + float64(i), 57, -131, -0.08}}},
			All:    constraints.Chance{Met: flights - 7 - 400*i, Flights: flights}, Held: i == 0,
		}
		for k, slack := range rows[i].Slacks {
			p.Chances = append(p.Chances, constraints.Chance{Met: flights - 3*k - 40*k*i, Flights: flights})
			p.Shown = append(p.Shown, slack-0.01*float64(k+1))
		}
		p.Shown[0] = math.NaN()
		rows[i].Proof = p
	}
	return b, rows
}
