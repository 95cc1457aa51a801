package output

import "ullage/model"

// JSON returns the numbers of the card as a JSON object with a final newline,
// under column names. What does not apply is null.
func (c *Card) JSON() ([]byte, error) {
	r, s := &c.Rocket, &c.Statics
	var set, expect, balance, throat, card object
	set.add("water_mass_kg", s.WaterMass)
	set.add("chamber_fill", r.Chamber.Fill)
	set.add("chamber_pressure_pa", r.Chamber.Pressure)
	set.add("pressure_ceiling_pa", c.CeilingPressure)
	set.add("pressure_ceiling_reason", c.CeilingReason)
	set.add("chamber_proof_pa", r.Chamber.Proof)
	set.add("recovery_delay_s", r.Recovery.Delay)
	set.add("recovery_canopy_m", r.Recovery.Canopy)
	set.add("site_tilt_deg", written(c.Site.Tilt, "rad"))
	for i, q := range c.Layout.Figures {
		expect.add(ColumnName(q.Key, q.Unit), c.Row.Figures[i].written(q.Unit))
	}
	balance.add("dry_mass_kg", s.DryMass)
	balance.add("dry_cg_m", s.DryCG)
	balance.add("holds", c.Balance.Holds)
	balance.add("fore_m", c.Balance.Fore)
	balance.add("aft_m", c.Balance.Aft)
	balance.add("assumed_margin_cal", Of(c.Balance.Assumed, c.Balance.Assumed > 0))
	throat.add("chamber_throat_m", r.Chamber.Throat)
	throat.add("drill_m", c.Throat.Diameter)
	throat.add("drill_apogee_m", c.Throat.Apogee)
	throat.add("drill_missed", list(c.Throat.Missed))

	card.add("title", c.Title)
	card.add("design", c.Design)
	card.add("go", c.Go())
	card.add("missed", c.Layout.Missed(c.Row))
	card.add("set", &set)
	card.add("expect", &expect)
	card.add("if_then", c.ifThenObjects())
	card.add("no_canopy_circle_m", c.Circle)
	card.add("no_canopy_circle_rule", c.CircleRule)
	card.add("balance", &balance)
	card.add("throat", &throat)
	card.add("cautions", c.Cautions)
	return card.bytes()
}

func (c *Card) ifThenObjects() []*object {
	lines := []*object{}
	for _, d := range c.IfThen {
		o := &object{}
		o.add("key", d.Key)
		o.add("doc", d.Doc)
		o.add("water_mass_kg", c.water(d.Fill))
		o.add("chamber_fill", d.Fill)
		o.add("recovery_delay_s", d.Delay)
		o.add("outcome", d.Outcome.String())
		o.add("apogee_m", d.Apogee)
		o.add("landing_speed_m_s", d.Landing)
		o.add("drift_m", d.Drift)
		o.add("go", d.Outcome == model.Landed && len(d.Missed) == 0)
		o.add("missed", list(d.Missed))
		lines = append(lines, o)
	}
	return lines
}

// list is never null.
func list(keys []string) []string { return append([]string{}, keys...) }
