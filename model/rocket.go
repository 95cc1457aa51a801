package model

// A Rocket is everything about the vehicle that a flight needs: SI units,
// angles in radians, stations measured from the nose tip, positive aft. A field
// at 0 means what its comment says; where that says nothing, and 0 of it is no
// rocket, as of a drag factor, the flight's outcome is NoRoom.
type Rocket struct {
	Body     Body
	Chamber  Chamber
	Fins     Fins
	Parts    []Part // read only: copies of a Rocket share it
	Payload  Part
	Ballast  Part
	Recovery Recovery
	Weighed  Weighed
}

// A Body is the outer shape.
type Body struct {
	Diameter  float64 // m, the reference diameter
	Length    float64 // m, nose tip to nozzle exit
	Roughness float64 // m, equivalent sand grain; 0 is smooth
	Drag      float64 // 1, multiplies the computed drag; 1 is as computed
	Nose      Nose
	Tail      Tail
}

// A Shape is the meridian of a nose.
type Shape int

// The nose shapes: straight, tangent ogive, half ellipsoid, tangent parabola.
const (
	Cone Shape = iota + 1
	Ogive
	Ellipsoid
	Parabola
)

// A Nose ends the body forward; its base is the body's diameter.
type Nose struct {
	Shape  Shape
	Length float64 // m
}

// A Tail is a conical boat-tail that ends at the nozzle exit plane; one of
// Length 0 is absent and leaves a blunt base.
type Tail struct {
	Diameter float64 // m, at its aft end
	Length   float64 // m
}

// A Gas is how the compressed gas is modelled while water leaves.
type Gas int

// Moist gas is air with saturated vapour and fog; dry gas is air alone.
const (
	Moist Gas = iota + 1
	Dry
)

// A Tube is a launch tube, fixed to the pad, thin-walled and tight in the
// nozzle, over which the rocket slides before the water can leave; one of
// Length 0 is absent.
type Tube struct {
	Diameter float64 // m
	Length   float64 // m, of the travel on it
}

// A Chamber is the pressure vessel with its nozzle.
type Chamber struct {
	Bore           float64 // m, inside diameter
	Cylinder       float64 // m, length of the straight part
	End            float64 // m, depth of each ellipsoidal end
	Volume         float64 // m³, as measured; 0 when not given: that of bore, cylinder and ends
	Neck           float64 // m, how far the nozzle-end pole lies ahead of the exit plane
	Pressure       float64 // Pa gauge, at release
	Proof          float64 // Pa gauge, what the vessel has been water-tested to
	Throat         float64 // m, nozzle diameter
	Fill           float64 // 1, water volume over chamber volume
	Growth         float64 // 1/Pa, share of its volume by which gauge pressure widens the chamber
	GasTemperature float64 // K, of the gas at release; 0 when not given: that of the air
	Gas            Gas
	Tube           Tube
	NoTube         bool    // the tube is left out, as if it were absent
	Jet            float64 // 1, velocity coefficient of the water jet
	Contraction    float64 // 1, area of the water jet over that of the throat
	Drawn          float64 // 1, share of the water left when air breaks through to the outlet that gives no thrust
	GasJet         float64 // 1, area of the gas jet over that of the throat
	GasThrust      float64 // 1, multiplies the thrust of the gas jet; 1 is as computed
}

// Edges is how the leading and trailing edges of the fins are finished.
type Edges int

// The finishes of a fin's edges, from square to fully shaped.
const (
	Cut Edges = iota + 1
	Radiused
	Faired
)

// Fins are Count equal trapezoidal sheets.
type Fins struct {
	Count        int     // 3, 4 or 6
	Root         float64 // m, chord at the body
	Tip          float64 // m, chord at the tip
	Span         float64 // m, of one fin, root to tip
	Rake         float64 // m, tip's leading edge aft of the root's
	Thickness    float64 // m
	Station      float64 // m, leading edge of the root
	Density      float64 // kg/m³
	ShearModulus float64 // Pa, in the plane of the sheet
	Edges        Edges
	Fillets      float64 // kg, of all fins together
}

// A Part is a piece of dry mass.
type Part struct {
	Name    string
	Mass    float64 // kg
	Station float64 // m, of its centre of mass
	Length  float64 // m, along the axis; 0 for a point
}

// Recovery is the canopy and what opens it.
type Recovery struct {
	Canopy  float64 // m, nominal diameter; 0: there is no canopy, and nothing opens
	Drag    float64 // 1, drag coefficient on the nominal area
	Delay   float64 // s, timer setting, from first motion
	Latency float64 // s, from the timer's end to line stretch; 0 is at once
	Line    float64 // N, strength of the weakest link; 0 when not given
	Mass    float64 // kg, of canopy and line; 0: they are among the parts
	Station float64 // m, of their centre of mass
}

// Weighed is the finished rocket on the scale, ready but empty. It replaces
// the sums of parts and fins; Mass 0 means that nothing was weighed.
type Weighed struct {
	Mass    float64 // kg
	Balance float64 // m, station of the balance point
	Payload float64 // kg of payload aboard when weighed
	Ballast float64 // kg of ballast aboard when weighed
	Canopy  float64 // kg of Recovery.Mass aboard when weighed
}

// A Site is where and in what air the flight takes place.
type Site struct {
	Temperature  float64 // K, at the pad
	Pressure     float64 // Pa, station pressure at the pad
	Humidity     float64 // 1, relative, 0 to 1
	Wind         float64 // m/s at 10 m above the pad, along +x; 0 is calm
	WindExponent float64 // 1, of the power-law profile; 0 is the same wind at every height
	Gust         float64 // m/s, of the gusts of GustIncidence
	Guide        float64 // m, length along which the launcher guides
	Tilt         float64 // rad, lean of the guide into the wind
}
