package card

import (
	"ullage/model"
	"ullage/output/table"
)

// JSON returns the numbers of the card as a JSON object with a final newline,
// under column names. What does not apply is null.
func (c *Card) JSON() ([]byte, error) {
	r, s := &c.Rocket, &c.Statics
	var set, expect, balance, throat, card table.Object
	set.Add("water_mass_kg", s.WaterMass)
	set.Add("chamber_fill", r.Chamber.Fill)
	set.Add("chamber_pressure_pa", r.Chamber.Pressure)
	set.Add("pressure_ceiling_pa", c.CeilingPressure)
	set.Add("pressure_ceiling_reason", c.CeilingReason)
	set.Add("chamber_proof_pa", r.Chamber.Proof)
	set.Add("recovery_delay_s", r.Recovery.Delay)
	set.Add("recovery_canopy_m", r.Recovery.Canopy)
	set.Add("site_tilt_deg", table.Written(c.Site.Tilt, "rad"))
	for i, q := range c.Layout.Figures {
		expect.Add(table.ColumnName(q.Key, q.Unit), c.Row.Figures[i].Written(q.Unit))
	}
	balance.Add("dry_mass_kg", s.DryMass)
	balance.Add("dry_cg_m", s.DryCG)
	balance.Add("holds", c.Balance.Holds)
	balance.Add("fore_m", c.Balance.Fore)
	balance.Add("aft_m", c.Balance.Aft)
	balance.Add("assumed_margin_cal", table.Of(c.Balance.Assumed, c.Balance.Assumed > 0))
	throat.Add("chamber_throat_m", r.Chamber.Throat)
	throat.Add("drill_m", c.Throat.Diameter)
	throat.Add("drill_apogee_m", c.Throat.Apogee)
	throat.Add("drill_missed", list(c.Throat.Missed))

	card.Add("title", c.Title)
	card.Add("design", c.Design)
	card.Add("go", c.Go())
	card.Add("missed", c.Layout.Missed(c.Row))
	card.Add("set", &set)
	card.Add("expect", &expect)
	card.Add("if_then", c.ifThenObjects())
	card.Add("no_canopy_circle_m", c.Circle)
	card.Add("no_canopy_circle_rule", c.CircleRule)
	card.Add("balance", &balance)
	card.Add("throat", &throat)
	card.Add("cautions", c.Cautions)
	return card.Indented()
}

func (c *Card) ifThenObjects() []*table.Object {
	lines := []*table.Object{}
	for _, d := range c.IfThen {
		o := &table.Object{}
		o.Add("key", d.Key)
		o.Add("doc", d.Doc)
		o.Add("water_mass_kg", c.water(d.Fill))
		o.Add("chamber_fill", d.Fill)
		o.Add("recovery_delay_s", d.Delay)
		o.Add("outcome", d.Outcome.String())
		o.Add("apogee_m", d.Apogee)
		o.Add("landing_speed_m_s", d.Landing)
		o.Add("drift_m", d.Drift)
		o.Add("go", d.Outcome == model.Landed && len(d.Missed) == 0)
		o.Add("missed", list(d.Missed))
		lines = append(lines, o)
	}
	return lines
}

// list is never null.
func list(keys []string) []string { return append([]string{}, keys...) }
