package pad

import (
	"math"
	"slices"

	"ullage/model"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/scatter"
	"ullage/optimize/study"
)

// A Card is what a pad card and a build sheet say of a design beyond its own
// flight. Numbers are SI; each comes from flights of its own.
type Card struct {
	Word     study.Word // the call's, or NO-GO where the field is too small
	Call     study.Call
	Scatter  []brief.Scatter // by which it was called
	Mends    []Mend          // what would make it GO, where it is not
	Ceiling  Ceiling
	IfThen   []IfThen // the first is the design as planned; none of a design that is NO-GO
	With     Fall     // with canopy
	Without  Fall     // without
	Beyond   []Beyond // what of the site's field it does not keep to
	Wind     Wind
	Balance  Balance
	Throat   Drill
	Diagonal bool // the fins are cut at 45 degrees from cloth
}

// A Ceiling is the launch pressure never to be exceeded.
type Ceiling struct {
	Pressure float64      // Pa gauge
	Limit    *brief.Limit // that sets it: proof_ratio, or one on chamber.pressure
}

// A Drill is the workshop drill nearest to a throat, and what it does.
type Drill struct {
	Diameter float64 // m
	Exact    bool    // the throat has that size
	Flight   model.Flight
	Missed   []string // keys of the limits that a throat of that size does not keep
}

// CardOf returns what a card says of the design x of b, which must land as set: it
// flies it with scratch, some thousands of times under scatter.
func CardOf(b *brief.Brief, x []float64, scratch *model.Scratch) Card {
	r, s := b.At(x)
	judge := study.NewJudge(b)
	caller := study.NewCaller(b)
	c := Card{
		Call:     caller.Call(&r, &s),
		Scatter:  slices.Concat(b.Scatter, b.Day),
		Ceiling:  ceiling(b, &r),
		Balance:  balance(b, judge, &r, &s, scratch),
		Throat:   drill(judge, &r, &s, scratch),
		Diagonal: diagonal(&r, &s),
	}
	if c.Call.Usual {
		for _, law := range scatter.Usual {
			c.Scatter = append(c.Scatter, law.Scatter)
		}
	}
	c.With, c.Without = falls(b, &r, &s, scratch)
	c.Beyond = beyond(b.Field, &c.Call, c.Without)
	if c.Word = c.Call.Word; len(c.Beyond) > 0 {
		c.Word = study.NoGo
	}
	c.Wind.Speed = math.NaN()
	if going := goes(b, caller, scratch); c.Word == study.Go {
		c.Wind = strongestWind(going, &r, &s)
	} else {
		c.Mends = withCanopies(b, mends(going, &r, &s), going, &r, &s)
	}
	if c.Word != study.NoGo {
		c.IfThen = ifThen(b, judge, &r, &s, scratch)
	}
	return c
}

// diagonal reports whether the fins are of cloth at 45 degrees, by the numbers of
// that material.
func diagonal(r *model.Rocket, s *model.Site) bool {
	q := brief.QuantityByKey("fins.material")
	return q.Name(q.Value(r, s)) == "carbon 45"
}

// ceiling is the least of what the proof ratio and limits on the pressure
// allow.
func ceiling(b *brief.Brief, r *model.Rocket) Ceiling {
	c := Ceiling{Pressure: math.Inf(1)}
	for i := range b.Limits {
		l := &b.Limits[i]
		p := math.Inf(1)
		switch l.Metric.Key {
		case "proof_ratio":
			p = r.Chamber.Proof / l.AtLeast
		case "chamber.pressure":
			p = l.AtMost
		}
		if p < c.Pressure {
			c = Ceiling{Pressure: p, Limit: l}
		}
	}
	return c
}

func drill(judge *study.Judge, r *model.Rocket, s *model.Site, scratch *model.Scratch) Drill {
	var d Drill
	d.Diameter, d.Exact = answers.NearestDrill(r.Chamber.Throat)
	drilled := *r
	drilled.Chamber.Throat = d.Diameter
	d.Flight = model.Fly(&drilled, s, scratch)
	d.Missed = judge.Missed(&drilled, s, &d.Flight)
	return d
}
