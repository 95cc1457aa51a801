package answers

import (
	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/study"
)

// A WhatIf is one flight of a design with which something has gone wrong.
type WhatIf struct {
	Key, Doc string
	Flight   model.Flight
	Missed   []string // keys of the limits that it does not keep
}

// Half a second, a bar and fifty grams are round numbers of about three
// deviations of what is seen (common practice, no source).
const (
	early   = 0.5  // s
	lost    = 1e5  // Pa
	heavier = 0.05 // kg
)

// mishaps change a rocket; the first leaves it as set.
var mishaps = []struct {
	key, doc string
	change   func(r *model.Rocket)
	bare     bool
	canopy   bool // what only one with a canopy can meet with
}{
	{"as_set", "as set", func(*model.Rocket) {}, false, false},
	{"canopy_fails", "canopy never opens", func(*model.Rocket) {}, true, true},
	{"canopy_half", "canopy opens half (drag area)", func(r *model.Rocket) { r.Recovery.Drag /= 2 }, false, true},
	{"timer_early", "timer 0.5 s early", func(r *model.Rocket) { r.Recovery.Delay = max(0, r.Recovery.Delay-early) }, false, true},
	{"pressure_low", "1 bar less", func(r *model.Rocket) { r.Chamber.Pressure -= lost }, false, false},
	{"heavier", "50 g heavier at the payload", func(r *model.Rocket) { r.Payload.Mass += heavier }, false, false},
}

// whatIfs flies a design as set and with each mishap. Limits on quantities are
// judged as set: a mishap is no setting.
func whatIfs(b *brief.Brief, x []float64, scratch *model.Scratch) []WhatIf {
	rocket, site := b.At(x)
	judge := study.NewJudge(b)
	var all []WhatIf
	for _, m := range mishaps {
		if m.canopy && rocket.Recovery.Canopy == 0 {
			continue
		}
		r := rocket
		m.change(&r)
		w := WhatIf{Key: m.key, Doc: m.doc}
		switch {
		case r.Chamber.Pressure <= 0:
			w.Flight.Outcome = model.NoLiftOff
		case m.bare:
			w.Flight = model.Bare(&r, &site, scratch)
		default:
			w.Flight = model.Fly(&r, &site, scratch)
		}
		w.Missed = judge.Missed(&rocket, &site, &w.Flight)
		all = append(all, w)
	}
	return all
}
