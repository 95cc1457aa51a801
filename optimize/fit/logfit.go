package fit

import (
	"fmt"
	"math"

	"ullage/model"
)

func (f *fitter) logFit(log int, index map[*unknown]int, half float64, before, after *model.Flight) LogFit {
	t := f.tracks[log]
	x := f.values()
	r, s, lift, level := f.craft(log, x)
	l := LogFit{Name: t.flight.Log.Name, Hash: t.flight.Log.Hash, LiftOff: t.origin + lift, Level: (t.level + level) / t.stretch, Noise: t.scales, Highest: t.top - level, Notes: t.notes, Planned: t.planned(), Claims: t.claims, Holds: t.holds}
	for _, u := range f.unknowns {
		if u.log != log {
			continue
		}
		k, ok := index[u]
		switch {
		case !ok:
			l.Notes = append(l.Notes, fmt.Sprintf("%s not fitted: %s", u.name(f.tracks), u.why))
		case u.level:
			l.LevelInterval = half * f.deviation(k) / t.stretch
		default:
			l.LiftOffInterval = half * f.deviation(k)
		}
	}
	for _, r := range t.readings {
		l.Has[r.of] = true
	}
	l.Rows = f.rows(log, x, lift, level)
	if t.bench {
		l.Bench, l.Highest = true, t.top-level*(t.times[len(t.times)-1]-lift)
		l.Before = f.predictor.impulse(t, &t.flight.Rocket, &s, lift)
		l.After = f.predictor.impulse(t, &r, &s, lift)
		l.Impulse = l.After / l.Before
		return l
	}
	l.Before, _ = before.Figure(model.Apogee)
	l.After, _ = after.Figure(model.Apogee)
	was, _ := before.Figure(model.Impulse)
	is, _ := after.Figure(model.Impulse)
	l.Impulse = is / was
	return l
}

// planned words what the flight has from the brief for want of something
// measured; the wind does not reach a test stand.
func (t *track) planned() (texts []string) {
	r, s := t.flight.Rocket, t.flight.Site
	for _, key := range t.flight.Planned {
		if q := quantityOf(key); !t.bench || key != "site.wind" {
			texts = append(texts, key+" "+q.Text(q.Value(&r, &s)))
		}
	}
	return texts
}

func (f *fitter) rows(log int, x []float64, lift, level float64) []Row {
	t := f.tracks[log]
	f.predict(log, x, f.model)
	from, _ := f.part(log)
	rows := make([]Row, len(t.times))
	for i := range rows {
		nan := math.NaN()
		rows[i] = Row{Time: t.times[i] - lift, Height: nan, Speed: nan, Felt: nan, ModelHeight: nan, ModelSpeed: nan, ModelFelt: nan, Thrust: nan, ModelThrust: nan, Weight: nan}
	}
	for k, r := range t.readings {
		if r.of == figureChannel {
			continue
		}
		row, predicted := &rows[r.at], f.model[from+k]
		switch r.of {
		case heightChannel:
			row.Height, row.ModelHeight = r.value-level, predicted-level
			_, row.Weight = Huber((predicted - r.value) / t.scales[r.of])
		case thrustChannel:
			row.Thrust, row.ModelThrust = r.value-level, predicted-level
		case speedChannel:
			row.Speed, row.ModelSpeed = r.value, predicted
		case feltChannel:
			row.Felt, row.ModelFelt = r.value, predicted
		}
	}
	return rows
}
