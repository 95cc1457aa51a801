package model

// A heft is mass, its centre and its pitch inertia about that centre.
type heft struct {
	mass    float64 // kg
	cg      float64 // m, station
	inertia float64 // kg m²
}

// add joins another body, by the parallel-axis theorem.
func (h heft) add(mass, cg, inertia float64) heft {
	total := h.mass + mass
	if total == 0 {
		return h
	}
	gap := cg - h.cg
	return heft{
		mass:    total,
		cg:      h.cg + gap*mass/total,
		inertia: h.inertia + inertia + gap*gap*h.mass*mass/total,
	}
}

// finPart returns the fins and their fillets as one part: mass from the
// sheet's volume, centre of the trapezoid, length the mean chord.
func finPart(f *Fins) Part {
	sum := f.Root + f.Tip
	chord := (f.Root*f.Root + f.Root*f.Tip + f.Tip*f.Tip) / (3 * sum) // centroid aft of the mean leading edge
	lead := f.Rake / 3 * (f.Root + 2*f.Tip) / sum
	return Part{
		Name:    "fins",
		Mass:    float64(f.Count)*f.Span*sum/2*f.Thickness*f.Density + f.Fillets,
		Station: f.Station + lead + chord,
		Length:  sum / 2,
	}
}

// dryHeft sums the empty rocket: each part adds m L²/12 about its own centre,
// the whole ¼ m (d/2)² once.
//
// A weighed rocket keeps the distribution that the sums give, scaled to the
// mass on the scale and shifted to its balance point; payload, ballast and a
// canopy that changed since are added as points at their stations.
func dryHeft(r *Rocket) heft {
	fins := finPart(&r.Fins)
	canopy := &r.Recovery
	var h heft
	for i := range r.Parts {
		h = h.addPart(&r.Parts[i])
	}
	h = h.addPart(&fins)
	if w := &r.Weighed; w.Mass > 0 {
		h = h.add(w.Payload, r.Payload.Station, 0).add(w.Ballast, r.Ballast.Station, 0).add(w.Canopy, canopy.Station, 0)
		h = heft{mass: w.Mass, cg: w.Balance, inertia: h.inertia * w.Mass / h.mass}
		h = h.add(r.Payload.Mass-w.Payload, r.Payload.Station, 0).add(r.Ballast.Mass-w.Ballast, r.Ballast.Station, 0)
		h = h.add(canopy.Mass-w.Canopy, canopy.Station, 0)
	} else {
		h = h.addPart(&r.Payload).addPart(&r.Ballast).add(canopy.Mass, canopy.Station, 0)
	}
	radius := r.Body.Diameter / 2
	h.inertia += h.mass * radius * radius / 4
	return h
}

func (h heft) addPart(p *Part) heft { return h.add(p.Mass, p.Station, p.Mass*p.Length*p.Length/12) }
