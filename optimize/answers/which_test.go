package answers_test

import (
	"slices"
	"testing"

	"ullage/model"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/testdata/briefs"
)

// flownWith is a design of b as it flies with a delay, in s, and a payload, in kg.
func flownWith(b *brief.Brief, design int, delay, payload float64) study.Row {
	scratch := model.NewScratch()
	x := b.Own()
	for i, v := range b.Vary {
		switch v.Key {
		case "recovery.delay":
			x[i] = delay
		case "payload.mass":
			x[i] = payload
		}
	}
	rocket, site := b.At(x)
	f := model.Fly(&rocket, &site, scratch)
	return study.RowOf(b, design, x, &f, scratch)
}

// The best design with each delay: one of the run that keeps every limit before
// any that is flown anew, and of those the highest.
func TestBestOfEach(t *testing.T) {
	b := briefs.Demo(t, "field-day.toml")
	row := func(design int, delay, payload float64) study.Row { return flownWith(b, design, delay, payload) }
	rows := []study.Row{row(1, 4, 0.22), row(2, 4, 0.23), row(3, 4.1, 0.22)}
	best, err := answers.BestOfEach(b, "recovery.delay", rows, 2)
	if err != nil || len(best) != 41 {
		t.Fatalf("BestOfEach = %d values, %v, want the 41 from 4 s to 8 s", len(best), err)
	}
	for i, want := range []int{1, 3, 0} {
		if best[i].Row.Design != want || len(best[i].Missed) > 0 {
			t.Errorf("delay %v s: design %d, misses %v, want %d, none", best[i].Value, best[i].Row.Design, best[i].Missed, want)
		}
	}
	// What the archive has by the way is beaten by a design of the front given its value.
	poor := []study.Row{row(1, 4, 0.22), row(2, 4.1, 0.24)}
	if best, err = answers.BestOfEach(b, "recovery.delay", poor, 1); err != nil || best[1].Row.Design != 0 || best[1].Row.Figures[model.Apogee] <= poor[1].Figures[model.Apogee] {
		t.Errorf("with 4.1 s: %+v, %v, want design 1 flown with it, which is lighter and higher", best[1].Row, err)
	}
	best, _ = answers.BestOfEach(b, "recovery.delay", rows, 2)
	// Sixty values are compared, one more is too many.
	for n, want := range map[int]string{60: "", 61: "recovery.delay: 61 values, want choices or steps, at most 60"} {
		many := *b
		many.Vary = append([]brief.Vary{}, b.Vary...)
		at := slices.IndexFunc(many.Vary, func(v brief.Vary) bool { return v.Key == "recovery.delay" })
		many.Vary[at].From, many.Vary[at].To, many.Vary[at].Step = 2, 2+0.1*float64(n-1), 0.1
		all, err := answers.BestOfEach(&many, "recovery.delay", rows[:1], 1)
		if want == "" && (err != nil || len(all) != n) || want != "" && (err == nil || err.Error() != want) {
			t.Errorf("of %d values: %d, %v, want %q", n, len(all), err, want)
		}
	}
	if all, err := answers.BestOfEach(b, "recovery.delay", nil, 2); err != nil || len(all) != 0 {
		t.Errorf("of no designs: %v, %v, want none", all, err)
	}
	last := best[40]
	if rocket, _ := b.At(last.Row.X); rocket.Recovery.Delay != 8 || last.Row.Design != 0 || len(last.Missed) == 0 {
		t.Errorf("at 8 s: %+v of a delay of %v s, want it flown and a limit missed", last, rocket.Recovery.Delay)
	}
	for key, want := range map[string]string{
		"chamber.jet": "chamber.jet: not varied in this run, want a key of [vary]",
		"fins.span":   "fins.span: 0 values, want choices or steps, at most 60",
	} {
		free := *b
		free.Vary = append([]brief.Vary{}, b.Vary...)
		for i := range free.Vary {
			free.Vary[i].Step = 0
		}
		if _, err := answers.BestOfEach(&free, key, rows, 2); err == nil || err.Error() != want {
			t.Errorf("BestOfEach of %s = %v, want %s", key, err, want)
		}
	}
}
