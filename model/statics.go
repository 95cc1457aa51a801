package model

// Statics is what follows from a rocket at a site before any flight: SI
// units, stations from the nose tip. Margins are for Mach 0.
type Statics struct {
	Volume       float64 // m³, of the chamber
	WaterMass    float64 // kg
	GasMass      float64 // kg, with vapour
	FinMass      float64 // kg, fillets included
	DryMass      float64 // kg
	SummedMass   float64 // kg, of parts, fins, payload and ballast, whatever was weighed
	SummedCG     float64 // m, of the same
	LiftoffMass  float64 // kg
	DryCG        float64 // m
	LiftoffCG    float64 // m
	CP           float64 // m
	DryMargin    float64 // cal
	WetMargin    float64 // cal, at release
	StoredEnergy float64 // J, of the gas
	ProofRatio   float64
}

// Weigh works out the statics, and whether the rocket can exist at all.
func Weigh(r *Rocket, site *Site) (Statics, bool) {
	if !fits(r, site) {
		return Statics{}, false
	}
	v := newVehicle(r, site)
	wet, _ := v.heft(v.water, v.charge.mass())
	summed := *r
	summed.Weighed = Weighed{}
	sum := dryHeft(&summed)
	fins := finPart(&r.Fins)
	cp := v.lift.cp(v.lift.finSlope(0))
	return Statics{
		Volume: v.vessel.volume, WaterMass: waterDensity * v.water, GasMass: v.charge.mass(),
		FinMass: fins.Mass, DryMass: v.dry.mass, SummedMass: sum.mass, SummedCG: sum.cg,
		LiftoffMass: wet.mass, DryCG: v.dry.cg, LiftoffCG: wet.cg, CP: cp,
		DryMargin: (cp - v.dry.cg) / v.diameter, WetMargin: (cp - wet.cg) / v.diameter,
		StoredEnergy: storedEnergy(site.Pressure+r.Chamber.Pressure, site.Pressure, v.vessel.volume-v.water),
		ProofRatio:   r.Chamber.Proof / r.Chamber.Pressure,
	}, true
}
