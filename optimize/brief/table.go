package brief

import "ullage/model"

// quantities is the table of what can be set. The ranges keep out slips of the
// pen and what no flight can be computed for; they are no advice (no source).
var quantities = []Quantity{
	quantity("site.temperature", "K", "air at the pad", "17 degC", "-50 degC", "60 degC", computed, func(c craft) *float64 { return &c.Temperature }),
	quantity("site.pressure", "Pa", "station pressure at the pad", "998 hPa", "400 hPa", "1100 hPa", computed, func(c craft) *float64 { return &c.Site.Pressure }),
	quantity("site.humidity", "1", "relative humidity", "0.55", "0", "1", "0", func(c craft) *float64 { return &c.Humidity }),
	quantity("site.wind", "m/s", "wind at 10 m along the plane of flight; negative comes from behind", "3 m/s", "-30 m/s", "30 m/s", "0 m/s", func(c craft) *float64 { return &c.Wind }),
	quantity("site.wind_exponent", "1", "exponent of the wind's power-law profile", "0.143", "0", "1", "0.14285714285714285", func(c craft) *float64 { return &c.WindExponent }),
	quantity("site.gust", "m/s", "of the gusts in which gust_incidence is the largest", "3 m/s", "0 m/s", "30 m/s", "3 m/s", func(c craft) *float64 { return &c.Gust }),
	quantity("site.guide", "m", "length along which the launcher guides", "1.5 m", "50 mm", "20 m", "1.5 m", func(c craft) *float64 { return &c.Guide }),
	quantity("site.tilt", "rad", "lean of the guide into the wind", "2 deg", "-45 deg", "45 deg", "0 deg", func(c craft) *float64 { return &c.Tilt }),

	quantity("body.diameter", "m", "reference diameter", "90 mm", "10 mm", "1 m", "", func(c craft) *float64 { return &c.Body.Diameter }),
	quantity("body.length", "m", "nose tip to nozzle exit", "1.36 m", "50 mm", "10 m", "", func(c craft) *float64 { return &c.Body.Length }),
	quantity("body.roughness", "m", "of the surface, equivalent sand grain; 0 is smooth", "20 um", "0 um", "2000 um", "20 um", func(c craft) *float64 { return &c.Body.Roughness }),
	quantity("body.drag", "1", "multiplies the computed drag", "1.0", "0.1", "10", "1", func(c craft) *float64 { return &c.Body.Drag }),
	quantity("body.nose.length", "m", "tip to the full diameter", "240 mm", "1 mm", "5 m", "", func(c craft) *float64 { return &c.Body.Nose.Length }),
	quantity("body.tail.diameter", "m", "boat-tail at its aft end", "75 mm", "5 mm", "1 m", "", func(c craft) *float64 { return &c.Body.Tail.Diameter }),
	quantity("body.tail.length", "m", "boat-tail, up to the nozzle exit", "30 mm", "1 mm", "5 m", "", func(c craft) *float64 { return &c.Body.Tail.Length }),

	quantity("chamber.bore", "m", "inside diameter", "87 mm", "10 mm", "1 m", "", func(c craft) *float64 { return &c.Chamber.Bore }),
	quantity("chamber.cylinder", "m", "length of the straight part", "690 mm", "0 mm", "10 m", "", func(c craft) *float64 { return &c.Chamber.Cylinder }),
	quantity("chamber.end", "m", "depth of each ellipsoidal end", "43.5 mm", "1 mm", "1 m", "", func(c craft) *float64 { return &c.Chamber.End }),
	quantity("chamber.volume", "m3", "measured; scales the profile of bore, cylinder and ends", "4.38 l", "0.05 l", "500 l", none, func(c craft) *float64 { return &c.Chamber.Volume }),
	quantity("chamber.neck", "m", "straight neck: how far the nozzle-end pole lies ahead of the exit; its water is neglected", "30 mm", "0 mm", "1000 mm", "0 mm", func(c craft) *float64 { return &c.Chamber.Neck }),
	quantity("chamber.pressure", "Pa", "gauge, at release", "15 bar", "0.1 bar", "150 bar", "", func(c craft) *float64 { return &c.Chamber.Pressure }),
	quantity("chamber.proof", "Pa", "gauge, what the vessel has been water-tested to", "22.5 bar", "0.1 bar", "300 bar", "", func(c craft) *float64 { return &c.Chamber.Proof }),
	quantity("chamber.throat", "m", "nozzle diameter", "11 mm", "1 mm", "200 mm", "", func(c craft) *float64 { return &c.Chamber.Throat }),
	quantity("chamber.fill", "1", "water volume over chamber volume", "0.30", "0.01", "0.95", "", func(c craft) *float64 { return &c.Chamber.Fill }),
	quantity("chamber.growth", "1/Pa", "share of its volume by which pressure widens the chamber", "0.8 %/bar", "0 %/bar", "25 %/bar", "0 %/bar", func(c craft) *float64 { return &c.Chamber.Growth }),
	quantity("chamber.gas_temperature", "K", "of the gas at release, where it is not that of the air", "20 degC", "-20 degC", "80 degC", none, func(c craft) *float64 { return &c.Chamber.GasTemperature }),
	quantity("chamber.tube.diameter", "m", "launch tube: thin-walled, tight in the nozzle", "10 mm", "1 mm", "200 mm", "", func(c craft) *float64 { return &c.Chamber.Tube.Diameter }),
	quantity("chamber.tube.length", "m", "launch tube: travel on it, over which no water leaves", "300 mm", "1 mm", "10 m", "", func(c craft) *float64 { return &c.Chamber.Tube.Length }),
	quantity("chamber.jet", "1", "velocity coefficient of the water jet", "0.97", "0.3", "1", "0.97", func(c craft) *float64 { return &c.Chamber.Jet }),
	quantity("chamber.contraction", "1", "area of the water jet over that of the throat; a sharp-edged hole has some 0.62", "1.0", "0.5", "1", "1", func(c craft) *float64 { return &c.Chamber.Contraction }),
	quantity("chamber.drawn", "1", "share of the water left when air breaks through to the outlet that gives no thrust", "0.25", "0", "1", "0", func(c craft) *float64 { return &c.Chamber.Drawn }),
	quantity("chamber.gas_jet", "1", "area of the gas jet over that of the throat", "0.95", "0.3", "1", "0.95", func(c craft) *float64 { return &c.Chamber.GasJet }),
	quantity("chamber.gas_thrust", "1", "multiplies the thrust of the gas jet", "1.0", "0.01", "2", "1", func(c craft) *float64 { return &c.Chamber.GasThrust }),

	{
		Key: "fins.count", Unit: "1", Doc: "number of fins", Min: 3, Max: 6, Allowed: []float64{3, 4, 6},
		example: "3", count: func(c craft) *int { return &c.Fins.Count },
	},
	quantity("fins.root", "m", "chord at the body", "130 mm", "5 mm", "2 m", "", func(c craft) *float64 { return &c.Fins.Root }),
	quantity("fins.tip", "m", "chord at the tip", "70 mm", "0 mm", "2 m", "", func(c craft) *float64 { return &c.Fins.Tip }),
	quantity("fins.span", "m", "one fin, root to tip", "130 mm", "5 mm", "2 m", "", func(c craft) *float64 { return &c.Fins.Span }),
	quantity("fins.rake", "m", "how far the tip's leading edge lies aft of the root's", "60 mm", "-1000 mm", "2000 mm", "", func(c craft) *float64 { return &c.Fins.Rake }),
	quantity("fins.thickness", "m", "of the sheet", "2 mm", "0.1 mm", "50 mm", "", func(c craft) *float64 { return &c.Fins.Thickness }),
	quantity("fins.station", "m", "leading edge of the root, from the nose tip", "1.185 m", "0 m", "10 m", "", func(c craft) *float64 { return &c.Fins.Station }),
	quantity("fins.density", "kg/m3", "of the sheet", "1600 kg/m3", "10 kg/m3", "20000 kg/m3", "1600 kg/m3", func(c craft) *float64 { return &c.Fins.Density }),
	quantity("fins.shear_modulus", "Pa", "in the plane of the sheet", "3.5 GPa", "0.001 GPa", "200 GPa", "3.5 GPa", func(c craft) *float64 { return &c.Fins.ShearModulus }),
	quantity("fins.fillets", "kg", "mass of the fillets of all fins together", "9 g", "0 g", "5000 g", "0 g", func(c craft) *float64 { return &c.Fins.Fillets }),

	quantity("payload.mass", "kg", "of the payload", "80 g", "0 g", "20000 g", "", func(c craft) *float64 { return &c.Payload.Mass }),
	quantity("payload.station", "m", "of its centre of mass, from the nose tip", "250 mm", "0 mm", "10 m", "", func(c craft) *float64 { return &c.Payload.Station }),
	quantity("ballast.mass", "kg", "of the ballast", "20 g", "0 g", "20000 g", "", func(c craft) *float64 { return &c.Ballast.Mass }),
	quantity("ballast.station", "m", "of its centre of mass, from the nose tip", "60 mm", "0 mm", "10 m", "", func(c craft) *float64 { return &c.Ballast.Station }),

	quantity("recovery.canopy", "m", "nominal diameter; without it the rocket comes down without a canopy", "95 cm", "5 cm", "2000 cm", none, func(c craft) *float64 { return &c.Recovery.Canopy }),
	quantity("recovery.drag", "1", "drag coefficient on the nominal area", "0.75", "0.05", "5", "0.75", func(c craft) *float64 { return &c.Recovery.Drag }),
	quantity("recovery.delay", "s", "timer setting, from release; required with a canopy", "5.2 s", "0 s", "600 s", none, func(c craft) *float64 { return &c.Recovery.Delay }),
	quantity("recovery.latency", "s", "from the timer's end to line stretch", "0.3 s", "0 s", "60 s", "0.3 s", func(c craft) *float64 { return &c.Recovery.Latency }),
	quantity(canopyMass, "kg", "of canopy and line, where no [[part]] has it", "50 g", "0.1 g", "5000 g", none, func(c craft) *float64 { return &c.Recovery.Mass }),
	quantity("recovery.station", "m", "of their centre of mass, from the nose tip; required with recovery.mass", "220 mm", "0 m", "10 m", none, func(c craft) *float64 { return &c.Recovery.Station }),
	quantity("recovery.line", "N", "strength of the weakest link of the line", "400 N", "1 N", "100000 N", none, func(c craft) *float64 { return &c.Recovery.Line }),
}

// none marks a fallback outside the range of validity: the thing is not there.
const none = "none"

// weighed is the finished rocket on the scale: numbers that describe it but
// cannot be set on it.
var weighed = []Quantity{
	quantity("weighed.mass", "kg", "of the finished rocket, ready but empty", "925 g", "1 g", "100000 g", "", func(c craft) *float64 { return &c.Weighed.Mass }),
	quantity("weighed.balance", "m", "station of its balance point", "757 mm", "0 mm", "10 m", "", func(c craft) *float64 { return &c.Weighed.Balance }),
	quantity("weighed.payload", "kg", "payload that was aboard on the scale", "80 g", "0 g", "20000 g", computed, func(c craft) *float64 { return &c.Weighed.Payload }),
	quantity("weighed.ballast", "kg", "ballast that was aboard on the scale", "0 g", "0 g", "20000 g", computed, func(c craft) *float64 { return &c.Weighed.Ballast }),
	quantity("weighed.canopy", "kg", "what recovery.mass was aboard on the scale", "50 g", "0 g", "5000 g", computed, func(c craft) *float64 { return &c.Weighed.Canopy }),
}

// elevation only serves the standard atmosphere behind two defaults.
var elevation = quantity("site.elevation", "m", "of the pad above sea level", "140 m", "-500 m", "6000 m", "0 m", nil)

// field says where people or a fence are; no flight depends on it.
var field = []Quantity{
	quantity("site.field_upwind", "m", "from the pad to where people or a fence are, upwind", "60 m", "1 m", "10000 m", none, nil),
	quantity("site.field_downwind", "m", "from the pad to where people or a fence are, downwind", "120 m", "1 m", "10000 m", none, nil),
	quantity("site.ceiling", "m", "greatest height that the site allows, above the pad", "120 m", "1 m", "20000 m", none, nil),
}

// partNumbers are the numbers of one [[part]]; field finds them in the payload,
// which has the same shape.
var partNumbers = []Quantity{
	quantity("mass", "kg", "of the part", "420 g", "0 g", "50000 g", "", func(c craft) *float64 { return &c.Payload.Mass }),
	quantity("station", "m", "of its centre of mass, from the nose tip", "960 mm", "0 mm", "10 m", "", func(c craft) *float64 { return &c.Payload.Station }),
	quantity("length", "m", "along the axis; 0 for a point", "777 mm", "0 mm", "10 m", "0 mm", func(c craft) *float64 { return &c.Payload.Length }),
}

// A word is a key whose value is one of a few names.
type word struct {
	key, doc string
	names    []string // the model counts them from 1
	fallback int      // 0 when the key is required, absent when it may be left out and is nothing then
	set      func(r *model.Rocket, i int)
	is       func(r *model.Rocket) int // nil: it cannot be varied
}

// absent marks a word that nothing stands in for.
const absent = -1

var words = []word{
	{
		"body.nose.shape", "meridian of the nose",
		[]string{"cone", "ogive", "ellipsoid", "parabola"},
		0,
		func(r *model.Rocket, i int) { r.Body.Nose.Shape = model.Shape(i) }, func(r *model.Rocket) int { return int(r.Body.Nose.Shape) },
	},
	{
		"chamber.gas", "how the gas is modelled while water leaves",
		[]string{"moist", "dry"},
		1,
		func(r *model.Rocket, i int) { r.Chamber.Gas = model.Gas(i) }, func(r *model.Rocket) int { return int(r.Chamber.Gas) },
	},
	{"chamber.material", "what the chamber is made of, in place of chamber.growth", wallNames(), absent, setWall, nil},
	{
		"chamber.tube.fitted", "whether the launch tube is used",
		[]string{"no", "yes"},
		2,
		func(r *model.Rocket, i int) { r.Chamber.NoTube = i == 1 },
		func(r *model.Rocket) int {
			if r.Chamber.NoTube {
				return 1
			}
			return 2
		},
	},
	{"fins.material", "sheet of the fins, in place of fins.density and fins.shear_modulus", materialNames(), absent, setMaterial, materialOf},
	{
		"fins.edges", "finish of the leading and trailing edges",
		[]string{"cut", "radiused", "faired"},
		1,
		func(r *model.Rocket, i int) { r.Fins.Edges = model.Edges(i) }, func(r *model.Rocket) int { return int(r.Fins.Edges) },
	},
}

// A counter is a whole number, most of them of [search]. Their bounds keep a
// search within some gigabytes of memory: a flight costs it 16 bytes, a design of
// the front with its path some 400 000.
type counter struct {
	key, doc string
	min, max int64
	fallback int64 // absent: it is not told
	set      func(b *Brief, v int64)
}

var counters = []counter{
	{"chamber.cycles", "pressure cycles so far, shown on the card", 0, 1_000_000, absent, func(b *Brief, v int64) { b.Cycles = int(v) }},
	{"search.seed", "of all random numbers", 0, 1<<63 - 1, 1, func(b *Brief, v int64) { b.Search.Seed = uint64(v) }},
	{"search.islands", "populations side by side; 0: by the number of flights", 0, 256, 0, func(b *Brief, v int64) { b.Search.Islands = int(v) }},
	{"search.population", "designs of one island; 0: the search's own", 0, 10000, 0, func(b *Brief, v int64) { b.Search.Population = int(v) }},
	{"search.flights", "how many to fly at most", 1, 100_000_000, 60000, func(b *Brief, v int64) { b.Search.Flights = int(v) }},
	{"search.front", "designs kept in the front file", 1, 5000, 100, func(b *Brief, v int64) { b.Search.Front = int(v) }},
	{"search.robust.draws", "flights under scatter that choose a design; at least 500 others prove it", 16, 100000, 200, func(b *Brief, v int64) { b.Search.Robust.Draws = int(v) }},
}

// confidence only concerns robust searches.
var confidence = quantity("search.robust.confidence", "1", "chance with which each limit must hold", "0.95", "0.5", "0.999", "0.95", nil)

// optionalTables may be left out whole; once there, their keys are required.
var optionalTables = []string{"body.tail", "chamber.tube", "ballast", "weighed", "search.robust"}

// sections lists the tables of a brief in the order of the reference.
var sections = []string{
	"site", "body", "chamber", "fins", "part", "payload", "ballast", "recovery", "weighed",
	"vary", "goals", "limits", "scatter", "search",
}
