package model

// A Figure names one number that a flight reports.
type Figure int

// The figures of a flight, in the order in which they are listed everywhere.
const (
	Apogee Figure = iota
	ApogeeTime
	FlightTime
	MaxSpeed
	MaxMach
	Acceleration
	GuideSpeed
	Margin
	GuideMargin
	UnstableTime
	DryMargin
	PeakIncidence
	ThrustEndLean
	TubeTime
	TubeSpeed
	WaterTime
	GasTime
	DrawnShare
	ThrustEndSpeed
	ThrustEndHeight
	Impulse
	PeakThrust
	DeploySpeed
	DeployHeight
	DeployLate
	OpeningForce
	OpeningAcceleration
	LandingSpeed
	TouchdownSpeed
	LandingEnergy
	Drift
	LiftoffMass
	DryMass
	ProofRatio
	FlutterFactor
	LineFactor
	Volume
	FigureCount int = iota
)

// FigureInfo describes a figure: Key as it stands in a brief, the SI Unit of
// its value ("1" for a ratio, "cal" for body diameters), and what it means.
type FigureInfo struct {
	Key, Unit, Doc string
}

// Figures describes every figure, indexed by Figure.
var Figures = [FigureCount]FigureInfo{
	Apogee:              {"apogee", "m", "highest point above the pad, in any phase"},
	ApogeeTime:          {"apogee_time", "s", "release to the highest point"},
	FlightTime:          {"flight_time", "s", "release to touch-down"},
	MaxSpeed:            {"max_speed", "m/s", "largest ground speed, release to opening or touch-down"},
	MaxMach:             {"max_mach", "1", "largest Mach number of the airspeed, release to opening or touch-down"},
	Acceleration:        {"acceleration", "m/s2", "largest acceleration felt aboard in the ascent, guide reaction included"},
	GuideSpeed:          {"guide_speed", "m/s", "speed on leaving the guide"},
	Margin:              {"margin", "cal", "smallest static margin from guide exit to the end of the ascent"},
	GuideMargin:         {"guide_margin", "cal", "static margin on leaving the guide"},
	UnstableTime:        {"unstable_time", "s", "time in the ascent after guide exit with a margin below 0"},
	DryMargin:           {"dry_margin", "cal", "static margin of the empty rocket at Mach 0"},
	PeakIncidence:       {"peak_incidence", "rad", "largest angle of attack from guide exit to the end of thrust"},
	ThrustEndLean:       {"thrust_end_lean", "rad", "flight path from the vertical at the end of thrust, positive downwind"},
	TubeTime:            {"tube_time", "s", "duration of the travel on the launch tube"},
	TubeSpeed:           {"tube_speed", "m/s", "speed on leaving the launch tube"},
	WaterTime:           {"water_time", "s", "duration of the water jet"},
	GasTime:             {"gas_time", "s", "duration of the gas jet"},
	DrawnShare:          {"drawn_share", "1", "water left, over that at release, when air breaks through it to the outlet"},
	ThrustEndSpeed:      {"thrust_end_speed", "m/s", "ground speed at the end of thrust"},
	ThrustEndHeight:     {"thrust_end_height", "m", "height above the pad at the end of thrust"},
	Impulse:             {"impulse", "N s", "thrust integrated over tube, water jet and gas jet"},
	PeakThrust:          {"peak_thrust", "N", "largest thrust"},
	DeploySpeed:         {"deploy_speed", "m/s", "airspeed when the canopy opens, as flown or nose first, whichever is larger"},
	DeployHeight:        {"deploy_height", "m", "height above the pad when the canopy opens, as flown or nose first, whichever is lower"},
	DeployLate:          {"deploy_late", "s", "opening after the highest point; negative before it"},
	OpeningForce:        {"opening_force", "N", "largest force of the canopy: its drag from opening to touch-down, or 1.7 times that at the instant when it is full; as flown or nose first, whichever is larger"},
	OpeningAcceleration: {"opening_acceleration", "m/s2", "opening force over the mass under the canopy"},
	LandingSpeed:        {"landing_speed", "m/s", "vertical speed at touch-down, as flown or nose first, whichever is larger"},
	TouchdownSpeed:      {"touchdown_speed", "m/s", "speed over ground at touch-down, wind included, as flown or nose first, whichever is larger"},
	LandingEnergy:       {"landing_energy", "J", "kinetic energy at touch-down, as flown or nose first, whichever is larger"},
	Drift:               {"drift", "m", "distance of touch-down from the pad, positive downwind, as flown or nose first, whichever is farther"},
	LiftoffMass:         {"liftoff_mass", "kg", "dry mass with water and gas at release"},
	DryMass:             {"dry_mass", "kg", "parts, fins, fillets, payload and ballast; no gas"},
	ProofRatio:          {"proof_ratio", "1", "proof pressure over launch pressure, both gauge"},
	FlutterFactor:       {"flutter_factor", "1", "smallest ratio of fin flutter speed to airspeed, release to opening"},
	LineFactor:          {"line_factor", "1", "strength of the weakest link over the opening force"},
	Volume:              {"volume", "m3", "inside volume of the chamber"},
}

// FigureByKey returns the figure with that key.
func FigureByKey(key string) (Figure, bool) {
	for i, info := range Figures {
		if info.Key == key {
			return Figure(i), true
		}
	}
	return 0, false
}
