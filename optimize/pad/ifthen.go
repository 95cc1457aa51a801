package pad

import (
	"math"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/study"
)

// An IfThen is one line of a pad card: what the day turns out to be, and the
// fill and timer for it: as planned where they will do.
type IfThen struct {
	Key, Doc string
	Fill     float64 // 1, water volume over chamber volume
	Delay    float64 // s, timer setting
	Flight   model.Flight
	Missed   []string // keys of the limits that they do not keep: no go
}

// What may turn out otherwise on the day: round numbers, of the size that is
// seen (common practice, no source).
const (
	extraMass = 0.02 // kg
	lostBar   = 1e5  // Pa
	extraWind = 2.0  // m/s
	warmer    = 10.0 // K
)

// days change a rocket, which is given as if it had been weighed, or its site;
// the first leaves both as planned.
var days = []struct {
	key, doc string
	change   func(r *model.Rocket, s *model.Site)
}{
	{"as_planned", "as planned", func(*model.Rocket, *model.Site) {}},
	{"heavier", "20 g heavier", func(r *model.Rocket, _ *model.Site) { r.Weighed.Mass += extraMass }},
	{"pressure_low", "1 bar less", func(r *model.Rocket, _ *model.Site) { r.Chamber.Pressure -= lostBar }},
	{"windier", "2 m/s more wind", func(_ *model.Rocket, s *model.Site) { s.Wind += math.Copysign(extraWind, s.Wind) }},
	{"colder", "10 degC colder", func(_ *model.Rocket, s *model.Site) { s.Temperature -= warmer }},
	{"warmer", "10 degC warmer", func(_ *model.Rocket, s *model.Site) { s.Temperature += warmer }},
}

// ifThen flies the design as planned, then looks for what of fill and timer must
// change on each other day. A day that no brief may describe is left out: 1 bar less
// of half a bar.
func ifThen(b *brief.Brief, judge *study.Judge, r *model.Rocket, s *model.Site, scratch *model.Scratch) []IfThen {
	planned := IfThen{Key: days[0].key, Doc: days[0].doc, Fill: r.Chamber.Fill, Delay: r.Recovery.Delay}
	planned.Flight = model.Fly(r, s, scratch)
	planned.Missed = judge.Missed(r, s, &planned.Flight)
	lines := []IfThen{planned}
	st, ok := model.Weigh(r, s)
	if !ok {
		return lines
	}
	weighed := study.OnScale(r, &st)
	top, _ := planned.Flight.Figure(model.ApogeeTime)
	water, timers := fills(b, r.Chamber.Fill, st.Volume), delays(b, r.Recovery.Delay, top-r.Recovery.Latency)
	if r.Recovery.Canopy == 0 {
		timers = timers[:1]
	}
	for _, day := range days[1:] {
		t := trial{brief: b, judge: judge, rocket: weighed, site: *s, scratch: scratch}
		day.change(&t.rocket, &t.site)
		if !valid(&t.rocket, &t.site) {
			continue
		}
		t.choose()
		line := t.least(water, timers)
		line.Key, line.Doc = day.key, day.doc
		lines = append(lines, line)
	}
	return lines
}

// valid reports whether what the days change is within the range of validity.
func valid(r *model.Rocket, s *model.Site) bool {
	for _, key := range []string{"chamber.pressure", "site.wind", "site.temperature"} {
		if q := brief.QuantityByKey(key); !q.Holds(q.Value(r, s)) {
			return false
		}
	}
	return true
}
