package card

import (
	"math"

	"ullage/model"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/table"
)

// JSON returns the numbers of the card as a JSON object with a final newline,
// under column names. What does not apply is null. It errs only as encoding/json
// does, which none of its values makes it.
func (c *Card) JSON() ([]byte, error) {
	var card table.Object
	card.Add("title", c.title())
	card.Add("design", c.design())
	card.Add("word", c.Word().String())
	card.Add("short", list(c.Short()))
	card.Add("mends", c.mendObjects())
	card.Add("judged", c.judgedObject())
	card.Add("limits", c.limitObjects())
	card.Add("not_judged", list(c.Brief.NotJudged))
	if c.Word() != study.NoGo {
		card.Add("set", c.setObject())
	}
	var expect table.Object
	for i, info := range study.Figures() {
		expect.Add(table.ColumnName(info.Key, info.Unit), table.Written(c.Row.Figures[i], info.Unit))
	}
	card.Add("expect", &expect)
	card.Add("if_then", c.ifThenObjects())
	card.Add("strongest_wind_m_s", c.Flown.Wind.Speed)
	card.Add("without_canopy", fallObject(&c.Flown.Without))
	card.Add("with_canopy", fallObject(&c.Flown.With))
	card.Add("beyond", c.beyondObjects())
	card.Add("balance", c.balanceObject())
	drill := &c.Flown.Throat
	var throat table.Object
	throat.Add("chamber_throat_m", c.Rocket.Chamber.Throat)
	throat.Add("drill_m", drill.Diameter)
	throat.Add("drill_apogee_m", output.FigureOf(&drill.Flight, model.Apogee))
	throat.Add("drill_missed", list(drill.Missed))
	card.Add("throat", &throat)
	card.Add("cautions", c.cautions())
	return card.Indented()
}

// setObject is what is set on the pad.
func (c *Card) setObject() *table.Object {
	r := &c.Rocket
	var set table.Object
	set.Add("water_mass_kg", c.Statics.WaterMass)
	set.Add("chamber_fill", r.Chamber.Fill)
	set.Add("chamber_pressure_pa", r.Chamber.Pressure)
	set.Add("pressure_ceiling_pa", c.Flown.Ceiling.Pressure)
	set.Add("pressure_ceiling_reason", c.ceilingReason())
	set.Add("chamber_proof_pa", r.Chamber.Proof)
	var date any // null where the brief does not tell
	if c.Brief.ProofDate != "" {
		date = c.Brief.ProofDate
	}
	set.Add("chamber_proof_date", date)
	set.Add("chamber_cycles", numberIf(c.Brief.Cycles >= 0, float64(c.Brief.Cycles)))
	set.Add("recovery_delay_s", numberIf(c.canopied(), r.Recovery.Delay))
	set.Add("recovery_canopy_m", numberIf(c.canopied(), r.Recovery.Canopy))
	if r.Recovery.Mass > 0 {
		set.Add("recovery_mass_kg", r.Recovery.Mass)
	}
	for _, s := range output.Settings(c.Brief) {
		if s.Names != nil {
			set.Add(table.ColumnName(s.Key, s.Unit), s.Written(c.Row.X))
		}
	}
	set.Add("site_tilt_deg", table.Written(c.Site.Tilt, "rad"))
	return &set
}

// balanceObject is what the rocket weighs, where it balances and how far that may
// be off.
func (c *Card) balanceObject() *table.Object {
	s, tolerance := &c.Statics, &c.Flown.Balance
	var balance table.Object
	balance.Add("weighed_payload_kg", numberIf(s.Weighed, s.Aboard.Payload))
	balance.Add("weighed_ballast_kg", numberIf(s.Weighed, s.Aboard.Ballast))
	balance.Add("dry_mass_kg", s.DryMass)
	balance.Add("dry_cg_m", s.DryCG)
	balance.Add("holds", tolerance.Holds)
	balance.Add("fore_m", finite(tolerance.Fore))
	balance.Add("aft_m", finite(tolerance.Aft))
	balance.Add("assumed_margin_cal", numberIf(tolerance.Assumed > 0, tolerance.Assumed))
	return &balance
}

// numberIf is a number that is there, or none, which is null.
func numberIf(there bool, v float64) float64 {
	if there {
		return v
	}
	return math.NaN()
}

func (c *Card) ifThenObjects() []*table.Object {
	lines := []*table.Object{}
	for _, d := range c.Flown.IfThen {
		o := &table.Object{}
		o.Add("key", d.Key)
		o.Add("doc", d.Doc)
		o.Add("water_mass_kg", c.water(d.Fill))
		o.Add("chamber_fill", d.Fill)
		delay := d.Delay
		if !c.canopied() {
			delay = math.NaN()
		}
		o.Add("recovery_delay_s", delay)
		o.Add("outcome", d.Flight.Outcome.String())
		o.Add("apogee_m", output.FigureOf(&d.Flight, model.Apogee))
		o.Add("landing_speed_m_s", output.FigureOf(&d.Flight, model.LandingSpeed))
		o.Add("drift_m", output.FigureOf(&d.Flight, model.Drift))
		o.Add("missed", list(d.Missed))
		lines = append(lines, o)
	}
	return lines
}

func (c *Card) mendObjects() []*table.Object {
	all := []*table.Object{}
	for _, m := range c.Flown.Mends {
		o := &table.Object{}
		o.Add("key", m.Quantity.Key)
		column := table.ColumnName("planned", m.Quantity.Unit)
		o.Add(column, table.Written(m.Planned, m.Quantity.Unit))
		o.Add(table.ColumnName("value", m.Quantity.Unit), table.Written(m.Value, m.Quantity.Unit))
		o.Add("words", c.mendWords(&m))
		all = append(all, o)
	}
	return all
}

// judgedObject says by which flights the word was found: none under scatter
// where the flight as set decides.
func (c *Card) judgedObject() *table.Object {
	o, call := &table.Object{}, &c.Flown.Call
	share, atLeast := math.NaN(), math.NaN()
	if call.All.Flights > 0 {
		share, atLeast = call.All.Share(), call.All.AtLeast()
	}
	o.Add("flights", call.All.Flights)
	o.Add("usual_scatter", call.Usual)
	o.Add("scatter", c.scatterWords())
	o.Add("safety_kept", share)
	o.Add("safety_kept_at_least", atLeast)
	return o
}

func (c *Card) limitObjects() []*table.Object {
	all := []*table.Object{}
	for i := range c.Brief.Limits {
		l, o, share := &c.Brief.Limits[i], &table.Object{}, math.NaN()
		if c.Flown.Call.Chances != nil {
			share = c.Flown.Call.Chances[i].Share()
		}
		o.Add("key", l.Metric.Key)
		o.Add(table.ColumnName("slack", l.Unit), table.Written(c.Row.Slacks[i], l.Unit))
		o.Add("kept", share)
		o.Add("safety", l.Safety())
		o.Add("default", l.Default)
		o.Add("class", l.Class)
		all = append(all, o)
	}
	return all
}

// list is never null.
func list(keys []string) []string { return append([]string{}, keys...) }

// finite returns NaN for a tolerance without an end.
func finite(v float64) float64 {
	if math.IsInf(v, 0) {
		return math.NaN()
	}
	return v
}
