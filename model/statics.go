package model

import "math"

// Statics is what follows from a rocket at a site before any flight: SI
// units, stations from the nose tip. Margins are for Mach 0.
type Statics struct {
	Volume       float64 // m³, of the chamber
	SummedVolume float64 // m³, of bore, cylinder and ends, whatever was measured
	RootAhead    float64 // m, of the fin's root ahead of the chamber's cylinder; 0 or less when none is
	RootAft      float64 // m, of the fin's root aft of the chamber's cylinder or over the tail, likewise
	WaterMass    float64 // kg
	GasMass      float64 // kg, with vapour
	FinMass      float64 // kg, fillets included
	DryMass      float64 // kg
	SummedMass   float64 // kg, of parts, fins, payload and ballast, whatever was weighed
	SummedCG     float64 // m, of the same
	Weighed      bool    // DryMass and DryCG come from the scale
	Aboard       Weighed // what was on the scale, where the rocket was weighed
	Correction   Part    // what the scale implies beyond the sums, less than nothing where it is lighter; Mass 0: none within the body
	LiftoffMass  float64 // kg
	DryCG        float64 // m
	LiftoffCG    float64 // m
	WaterStation float64 // m, of the water's surface at release, standing
	CP           float64 // m
	DryMargin    float64 // cal
	WetMargin    float64 // cal, at release
	StoredEnergy float64 // J, of the gas and of a wall that stretches
	ProofRatio   float64
	Jet          float64 // 1, velocity coefficient of the water jet, as given
}

// Weigh works out the statics, and whether the rocket can exist at all.
func Weigh(r *Rocket, site *Site) (Statics, bool) {
	if !fits(r, site) {
		return Statics{}, false
	}
	v := newVehicle(r, site)
	wet, surface := v.heft(v.water, v.charge.mass())
	summed := *r
	summed.Weighed = Weighed{}
	sum := dryHeft(&summed)
	profile := r.Chamber
	profile.Volume = 0
	fins := finPart(&r.Fins)
	cylinder := v.pole - r.Chamber.End // station of its aft end
	cp := v.lift.cp(v.lift.finSlope(0))
	st := Statics{
		Volume: v.vessel.volume, SummedVolume: newVessel(&profile).volume,
		RootAhead: cylinder - r.Chamber.Cylinder - r.Fins.Station,
		RootAft:   r.Fins.Station + r.Fins.Root - min(cylinder, v.exit-r.Body.Tail.Length),
		WaterMass: WaterDensity * v.water, GasMass: v.charge.mass(),
		FinMass: fins.Mass, DryMass: v.dry.mass, SummedMass: sum.mass, SummedCG: sum.cg,
		LiftoffMass: wet.mass, DryCG: v.dry.cg, LiftoffCG: wet.cg, WaterStation: surface, CP: cp,
		DryMargin: (cp - v.dry.cg) / v.diameter, WetMargin: (cp - wet.cg) / v.diameter,
		StoredEnergy: storedEnergy(site.Pressure+r.Chamber.Pressure, site.Pressure, v.vessel.volume+v.give*r.Chamber.Pressure-v.water) +
			v.give*r.Chamber.Pressure*r.Chamber.Pressure/2,
		ProofRatio: r.Chamber.Proof / r.Chamber.Pressure,
		Jet:        r.Chamber.Jet,
	}
	if st.Weighed = r.Weighed.Mass > 0; st.Weighed {
		st.Aboard = r.Weighed
		st.Correction = correction(sum, v.dry, r.Body.Length)
	}
	return st, true
}

// correction returns the part that turns the sums into what was weighed: its
// mass, and the station that moves the balance point as far. None is within a
// body of that length, in m, where the two differ in balance more than in mass.
func correction(sum, scale heft, length float64) Part {
	const scaleStep = 1e-6 // kg, finer than a scale shows
	p := Part{Name: "correction", Mass: scale.mass - sum.mass}
	p.Station = (scale.mass*scale.cg - sum.mass*sum.cg) / p.Mass
	if math.Abs(p.Mass) < scaleStep || !(p.Station >= 0 && p.Station <= length) { // also NaN
		return Part{}
	}
	return p
}
