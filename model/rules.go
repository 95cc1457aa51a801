package model

// A Span is a length of a rocket or its launcher, or a sum of such lengths.
type Span struct {
	Label string   // what it is called; that of its key where it is one length
	Keys  []string // of a brief, a length as often as it counts
	of    func(r *Rocket, s *Site) float64
}

// Of returns the span's value, in m.
func (l *Span) Of(r *Rocket, s *Site) float64 { return l.of(r, s) }

// A Rule says that Small must fit into Large: be at most as long, or less where
// the two may not be equal.
type Rule struct {
	Small, Large Span
	Less         bool
	Want         string // the rule in words, where Small is a sum
}

// Holds reports whether a rocket at a site keeps the rule. Sums of what is flush
// may be wrong in their last digits.
func (l *Rule) Holds(r *Rocket, s *Site) bool {
	small, large := l.Small.of(r, s), l.Large.of(r, s)
	if l.Less {
		return small < large
	}
	const rounding = 1e-9 // m
	return small <= large+rounding
}

func span(key string, of func(r *Rocket, s *Site) float64) Span { return Span{key, []string{key}, of} }

var (
	diameter = span("body.diameter", func(r *Rocket, _ *Site) float64 { return r.Body.Diameter })
	length   = span("body.length", func(r *Rocket, _ *Site) float64 { return r.Body.Length })
	bore     = span("chamber.bore", func(r *Rocket, _ *Site) float64 { return r.Chamber.Bore })
	throat   = span("chamber.throat", func(r *Rocket, _ *Site) float64 { return r.Chamber.Throat })
	slide    = span("chamber.tube.length", func(r *Rocket, _ *Site) float64 { return r.Chamber.tube().Length })
	noseLong = span("body.nose.length", func(r *Rocket, _ *Site) float64 { return r.Body.Nose.Length })
	chamber  = Span{"the chamber", []string{"chamber.cylinder", "chamber.end", "chamber.end", "chamber.neck"}, func(r *Rocket, _ *Site) float64 {
		return r.Chamber.Cylinder + 2*r.Chamber.End + r.Chamber.Neck
	}}
)

// Rules lists what must fit into what for a rocket to exist. A length that is not
// there, as of a tail, is 0 and fits.
var Rules = []Rule{
	{Small: bore, Large: diameter},
	{Small: chamber, Large: length, Want: "the chamber within body.length"},
	{
		Small: Span{"the root's end", []string{"fins.station", "fins.root"}, func(r *Rocket, _ *Site) float64 { return r.Fins.Station + r.Fins.Root }},
		Large: length, Want: "the fins within body.length",
	},
	{Small: throat, Large: bore, Less: true},
	{Small: span("body.tail.diameter", func(r *Rocket, _ *Site) float64 { return r.Body.Tail.Diameter }), Large: diameter},
	{
		Small: Span{"nose and tail", []string{"body.nose.length", "body.tail.length"}, func(r *Rocket, _ *Site) float64 { return r.Body.Nose.Length + r.Body.Tail.Length }},
		Large: length, Want: "both within body.length",
	},
	{
		Small: Span{"half of body.diameter", []string{"body.diameter"}, func(r *Rocket, _ *Site) float64 {
			if r.Body.Nose.Shape != Ogive {
				return 0
			}
			return r.Body.Diameter / 2
		}},
		Large: noseLong, Want: "an ogive no shorter than that",
	},
	{Small: span("chamber.tube.diameter", func(r *Rocket, _ *Site) float64 { return r.Chamber.tube().Diameter }), Large: throat},
	{Small: slide, Large: span("site.guide", func(_ *Rocket, s *Site) float64 { return s.Guide })},
	{Small: slide, Large: Span{"the chamber with its neck", chamber.Keys, chamber.of}, Want: "the tube within the chamber"},
}

// nests reports whether every rule holds.
func nests(r *Rocket, s *Site) bool {
	for i := range Rules {
		if !Rules[i].Holds(r, s) {
			return false
		}
	}
	return true
}
