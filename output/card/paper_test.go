package card

import (
	"encoding/json"
	"math"
	"regexp"
	"strings"
	"testing"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/pad"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/internal/sample"
	"ullage/output/text"
)

const degree = math.Pi / 180

// made is a card of invented numbers, which no flight gives together: each can be
// told from the others where it is read. Its if-then lines are flown.
func made(change ...func(c *Card)) *Card {
	b := sample.Brief("", "chamber.pressure=6.118 bar", "chamber.proof=12.34 bar", "chamber.fill=0.305", "recovery.delay=5.25 s",
		"payload.mass=80.6 g", "ballast.mass=30.4 g", "ballast.station=61.7 mm", "site.wind=12 m/s", "site.wind_exponent=0.2",
		"site.temperature=22 degC", "site.tilt=2.5 deg", "site.guide=1.25 m", "recovery.latency=0.35 s", "fins.span=130.4 mm",
		"chamber.throat=11.04 mm")
	b.NotJudged, b.Set = nil, nil
	c := &Card{Brief: b, Name: "one", Version: "7", Rocket: b.Rocket, Site: b.Site}
	c.Statics = model.Statics{
		Volume: 4.106e-3, WaterMass: 1.2496, DryMass: 0.7126, DryCG: 0.6524, CP: 0.8, StoredEnergy: 5432,
		FinMass: 0.059, SummedMass: 0.8, SummedCG: 0.7024696,
	}
	c.Row = study.Row{Outcome: model.Landed, Slacks: []float64{0.32, 1.25 * degree, 1.882e5, 0.517}, Figures: sample.Figures(map[model.Figure]float64{
		model.Apogee: 142.6, model.ApogeeTime: 5.04, model.LandingSpeed: 4.96, model.Drift: 21.4, model.GuideSpeed: 23.44,
		model.DeploySpeed: 9.87, model.DeployHeight: 138.2, model.FlightTime: 31.7,
		model.Figure(model.FigureCount + brief.DeployEarliest): 4.803, model.Figure(model.FigureCount + brief.DeployLatest): 5.897,
	})}
	c.Doubts = []answers.Doubt{{Figure: model.Drift, Low: 1, High: 2}, {Figure: model.Apogee, Low: 121, High: 153.4}}
	c.Flown = pad.Card{
		Word: study.Go,
		Call: study.Call{
			Word: study.Go, Slacks: c.Row.Slacks, All: constraints.Chance{Met: 399, Flights: 400},
			Chances: []constraints.Chance{{Met: 400, Flights: 400}, {Met: 399, Flights: 400}, {Met: 400, Flights: 400}, {Met: 400, Flights: 400}},
		},
		Ceiling: pad.Ceiling{Pressure: 8e5, Limit: &b.Limits[2]},
		With:    pad.Fall{Upwind: 0, Downwind: 96, Speed: 4.99, Energy: 11.2},
		Without: pad.Fall{Upwind: 41, Downwind: 100, Speed: 31.2, Energy: 345.1},
		Balance: pad.Balance{Holds: true, Fore: math.Inf(1), Aft: 0.0127},
		Throat:  pad.Drill{Diameter: 11e-3},
		Scatter: []brief.Scatter{{Quantity: brief.MustQuantity("body.drag"), Deviation: 0.07, Relative: true}, {Quantity: brief.MustQuantity("site.tilt"), Deviation: degree}},
	}
	for _, f := range change {
		f(c)
	}
	return c
}

func flown(c *Card) model.Flight { return model.Fly(&c.Rocket, &c.Site, model.NewScratch()) }

// wants holds that a card reads as told, folded anywhere, and that it does not
// say what it must not.
func wants(t *testing.T, name, page string, says, silent []string) {
	t.Helper()
	flat := strings.Join(strings.Fields(page), " ")
	for _, s := range says {
		if !strings.Contains(flat, s) {
			t.Errorf("%s: it does not say %q", name, s)
		}
	}
	for _, s := range silent {
		if strings.Contains(flat, s) {
			t.Errorf("%s: it says %q", name, s)
		}
	}
	if t.Failed() {
		t.Logf("%s:\n%s", name, page)
	}
}

// TestPadCardIsRead holds each number of the pad card to where it comes from:
// what is set and expected, bounds cut to the safe side, and what is compared
// with it on the day.
func TestPadCardIsRead(t *testing.T) {
	wants(t, "planned", made().PadText(), []string{
		"water 1250 g 1252 ml, 30.5 % of 4.11 l",
		"pressure 6.11 bar gauge; never above 8.00 bar (the brief's limit on pressure, proof 12.3 bar)",
		"timer 5.25 s every limit holds from 4.81 to 5.89 s",
		"opens 0.35 s after the timer's end", "tilt 2.5 deg into the wind; guide 1.25 m",
		"payload 81 g ballast 30 g at 62 mm",
		"height 143 m after 5.0 s; as modelled, 121 to 153 before any measured flight",
		"lands at 5.0 m/s downward", "comes down 21 m downwind of the pad", "off the guide 23.4 m/s wind planned 12.0 m/s at 10 m",
		"opens 9.9 m/s airspeed, at 138 m", "aloft for 32 s",
		"margin +0.320 cal 100 %", "peak incidence +1.25 deg 99 %", "chamber pressure +1.88 bar as set", "proof ratio +0.517 as set, default",
		"Without canopy: up to 45 m upwind and 100 m downwind of the pad, at up to 32 m/s and 346 J.",
		"With canopy: up to 0 m upwind and 100 m downwind of the pad, at up to 5 m/s and 12 J.",
		"empty weighs 713 g, planned; balances at 652 mm from the nose tip",
		// 12 (1.5/10)^0.2, the power law of the site's wind.
		"12.0 m/s at 10 m is 8.2 m/s in your hand at 1.5 m",
		"wind, m/s planned 12.0 _", "air, degC planned 22 _", "rocket empty, g planned 713 _", "water weighed, g planned 1250 _",
		"pressure, bar planned 6.11 _", "timer, s planned 5.25 _", "height read, m predicted 143 _", "landed off the pad, m predicted 21 _",
		"every limit of safety kept in 99 % of them; in at least 98 % of all such flights, at 95 % confidence",
		"one deviation: body drag 7 %, site tilt 1 deg",
		"Measure how far people are: upwind ________ m, downwind ________ m.",
	}, []string{"cannot be said", "NOT JUDGED", "Would be GO", "People or a fence", "Height allowed", "as weighed"})
}

// otherwise are changes of the planned card, with what it says then and what not.
var otherwise = []struct {
	why    string
	change func(c *Card)
	says   []string
	silent []string
}{
	{
		"against the wind", func(c *Card) { c.Row.Figures[model.Drift] = -21.4 },
		[]string{"comes down 21 m upwind of the pad", "landed off the pad, m predicted 21"},
		nil,
	},
	{"wind from behind", func(c *Card) { c.Site.Wind = -12 }, []string{"comes down 21 m upwind", "is 8.2 m/s in your hand"}, nil},
	{"a calm", func(c *Card) { c.Site.Wind, c.Row.Figures[model.Drift] = 0, -3 }, []string{"comes down 3 m upwind"}, nil},
	{
		"a timer without a latest setting", func(c *Card) { c.Row.Figures[model.FigureCount+brief.DeployLatest] = math.NaN() },
		[]string{"every limit holds from 4.81 s on"},
		nil,
	},
	{
		"a limit missed as planned", func(c *Card) { c.Row.Figures[model.FigureCount+brief.DeployEarliest] = math.NaN() },
		[]string{"no window"},
		[]string{"every limit holds from"},
	},
	{
		"no figure of a canopy", func(c *Card) {
			c.Row.Figures[model.DeployHeight] = math.NaN()
			c.Row.Figures[model.Apogee], c.Doubts = math.NaN(), nil
		},
		[]string{"the canopy never opens in this flight", "height read, m ________"},
		[]string{"airspeed", "height NaN"},
	},
	{"no ballast", func(c *Card) { c.Rocket.Ballast.Mass = 0 }, []string{"payload 81 g no ballast"}, []string{"ballast 0"}},
	{
		"the proof ratio sets the ceiling", func(c *Card) {
			c.Flown.Ceiling = pad.Ceiling{Pressure: 12.34e5 / 1.5, Limit: &c.Brief.Limits[3]}
		},
		[]string{"never above 8.22 bar (proof pressure over 1.5, proof 12.3 bar)"},
		nil,
	},
	{"weighed", func(c *Card) { c.Statics.Weighed = true }, []string{"weighs 713 g, as weighed"}, nil},
	{
		"one side cannot be said", func(c *Card) { c.Flown.Without.Upwind = math.NaN() },
		[]string{"cannot be said"},
		[]string{"of the pad, at up to"},
	},
	{
		"room on one side", func(c *Card) { c.Brief.Field = brief.Field{Upwind: 62.5, Downwind: math.Inf(1), Ceiling: 250} },
		[]string{"as the brief says: 62.5 m upwind.", "Measure how far people are: downwind ________ m.", "Height allowed, as the brief says: 250 m."},
		nil,
	},
	{
		"room on both sides", func(c *Card) { c.Brief.Field = brief.Field{Upwind: 60, Downwind: 200, Ceiling: math.Inf(1)} },
		[]string{"60 m upwind, 200 m downwind."},
		[]string{"Measure how far", "Height allowed"},
	},
	{
		"the usual scatter", func(c *Card) { c.Flown.Call.Usual = true }, []string{"the usual scatter, as this brief has none"}, []string{"this brief's scatter"},
	},
	{"a limit switched off", func(c *Card) { c.Brief.NotJudged = []string{"landing_speed"} }, []string{"NOT JUDGED, this brief switches the limit off: landing speed"}, nil},
	{"no canopy", func(c *Card) { c.Rocket.Recovery = model.Recovery{} }, []string{"may still go, or burst."}, []string{"timer may open"}},
}

// TestPadCardReadsOtherwise holds what changes with the flight, the brief and the field.
func TestPadCardReadsOtherwise(t *testing.T) {
	for _, row := range otherwise {
		wants(t, row.why, made(row.change).PadText(), row.says, row.silent)
	}
}

func mend(key string, planned, value float64) pad.Mend {
	return pad.Mend{Quantity: brief.MustQuantity(key), Planned: planned, Value: value}
}

var mends = []pad.Mend{
	mend("chamber.pressure", 6.118e5, 5.5e5), mend("chamber.fill", 0.305, 0.29), mend("ballast.mass", 0.0304, 0.0555),
	mend("recovery.delay", 5.25, 5.1),
}

func tight(c *Card) {
	c.Flown.Word = study.Tight
	c.Flown.Call.Word, c.Flown.Call.Chances[0] = study.Tight, constraints.Chance{Met: 251, Flights: 400}
}

// notGo are changes of the card that is GO, with what is read then and what is not.
var notGo = []struct {
	why    string
	change []func(c *Card)
	says   []string
	silent []string
}{
	{
		"tight",
		[]func(c *Card){tight, func(c *Card) { c.Flown.Mends = mends }},
		[]string{
			"margin kept in 62 % of 400 flights",
			"each change alone: 5.50 bar instead of 6.11 bar, or 62 g less water, or 26 g more ballast. Make the card again",
		},
		[]string{"timer 5.10", "misses"},
	},
	{
		"other changes",
		[]func(c *Card){tight, func(c *Card) {
			c.Flown.Mends = []pad.Mend{mend("recovery.delay", 5.25, 5.1), mend("recovery.canopy", 0.9, 0.95), mend("site.tilt", 2.5*degree, degree)}
		}},
		[]string{"timer 5.10 s instead of 5.25", "canopy 95 cm instead of 90", "tilt 1.0 deg instead of 2.5"},
		nil,
	},
	{
		"lighter, and other fins",
		[]func(c *Card){tight, func(c *Card) {
			c.Flown.Mends = []pad.Mend{mend("payload.mass", 0.0806, 0.0751), mend("fins.span", 0.1304, 0.135)}
		}},
		[]string{"6 g less payload", "fins span 135 mm instead of 130"},
		nil,
	},
	{"no change found", []func(c *Card){tight}, []string{"No single change"}, []string{"Would be GO"}},
	{
		"missed as set",
		[]func(c *Card){func(c *Card) {
			c.Flown.Word = study.NoGo
			c.Flown.Call.Word, c.Flown.Call.Chances = study.NoGo, nil
			c.Flown.Call.All = constraints.Chance{}
			c.Row.Slacks[0], c.Row.Slacks[1] = -0.1, math.NaN()
		}},
		[]string{"misses margin by 0.100 cal as set", "misses peak incidence: the flight does not have it", "margin -0.100 cal", "peak incidence none", "none was flown under scatter"},
		[]string{"kept in", "never above", "timer 5.25", "[ ]"},
	},
	{
		"beyond the field",
		[]func(c *Card){func(c *Card) {
			c.Flown.Word = study.NoGo
			c.Flown.Beyond = []pad.Beyond{{Key: "site.field_upwind", Reach: 45, Room: 40}, {Key: "site.field_downwind", Reach: 100, Room: 99}, {Key: "site.ceiling", Reach: 142.2, Room: 140}}
		}},
		[]string{
			"without canopy comes down up to 45 m upwind; people or a fence at 40 m",
			"comes down up to 100 m downwind, with its canopy up to 100 m; people or a fence at 99 m",
			"height, which 95 % of the flights stay below: 143 m; allowed 140 m",
		},
		nil,
	},
	{
		"with its canopy just within the field",
		[]func(c *Card){func(c *Card) {
			c.Flown.Word, c.Flown.With.Upwind = study.NoGo, 40
			c.Flown.Beyond = []pad.Beyond{{Key: "site.field_upwind", Reach: 45, Room: 40}}
		}},
		[]string{"without canopy comes down up to 45 m upwind"},
		[]string{"with its canopy up to"},
	},
}

// TestWordsAgainstGo holds what is read where the word is not GO: what is missed
// and by how much, in what share of the flights it is kept, what would mend it.
func TestWordsAgainstGo(t *testing.T) {
	for _, row := range notGo {
		wants(t, row.why, made(row.change...).PadText(), row.says, row.silent)
	}
}

// TestIfThenIsRead holds the lines of a day to their flights.
func TestIfThenIsRead(t *testing.T) {
	var f model.Flight
	c := made(func(c *Card) {
		f = flown(c)
		c.Flown.IfThen = []pad.IfThen{
			{Doc: "as planned", Fill: 0.305, Delay: 5.25, Flight: f},
			{Doc: "windy", Fill: 0.29, Delay: 5.055, Flight: f, Missed: []string{"landing_speed", "margin"}},
			{Doc: "weak", Fill: 0.31, Delay: 5, Flight: model.Flight{Outcome: model.NoLiftOff}},
		}
	})
	figures := ""
	for _, of := range []struct {
		id     model.Figure
		places int
	}{{model.Apogee, 0}, {model.LandingSpeed, 1}, {model.Drift, 0}} {
		figures += " " + text.Decimals(output.FigureOf(&f, of.id), of.places)
	}
	// The mass of water goes with the fill: 1.2496 kg at 0.305.
	wants(t, "if, then", c.PadText(), []string{
		"as planned 1250 5.25" + figures + " keeps its limits",
		"windy 1188 5.05" + figures + " no-go misses landing speed, margin",
		"weak 1270 5.00 - - - no-go no flight: no lift off",
	}, nil)
	for _, line := range strings.Split(c.PadText(), "\n") {
		if n := len([]rune(line)); n > text.LineWidth {
			t.Errorf("%d columns, want at most %d: %q", n, text.LineWidth, line)
		}
	}
}

// drilled has the nozzle drilled to the nearest size flown.
func drilled(c *Card) { c.Flown.Throat.Flight = flown(c) }

// drilledHeight is how high it flies then, in m.
func drilledHeight() string {
	f := flown(made())
	return text.Decimals(output.FigureOf(&f, model.Apogee), 0)
}

// sheets are changes of the card, with what the build sheet says then and what not.
var sheets = []struct {
	why    string
	change []func(c *Card)
	says   []string
	silent []string
}{
	{
		"planned",
		[]func(c *Card){drilled},
		[]string{
			"11.04 mm: no drill size; the nearest is 11.00 mm, with which it reaches " + drilledHeight() + " m and keeps every limit.",
			"652 mm from the nose tip; aft of it: 12 mm at most; forward of it: no limit is met within 90 mm.",
			"span 130.4 mm one fin", "sheet 2.0 mm edges left square", "station 1185.0 mm nose tip", "count 3 equal",
			"3 fins, with fillets 59 1250", "payload 81 250", "ballast 30 62", "ready but empty 800 702",
			"6.11 1.00 launch pressure", "9.18 1.50 the least before air", "12.3 2.01 proof pressure of the brief",
		},
		[]string{"No tolerance", "calibre", "The scale says", "and the proof pressure"},
	},
	{
		"a drill that misses",
		[]func(c *Card){drilled, func(c *Card) { c.Flown.Throat.Missed = []string{"margin"} }},
		[]string{"reaches " + drilledHeight() + " m and misses margin."},
		[]string{"keeps every limit"},
	},
	{"a drill that does not fly", nil, []string{"the nearest is 11.00 mm and keeps"}, []string{"it reaches"}},
	{
		"a drill size",
		[]func(c *Card){func(c *Card) { c.Rocket.Chamber.Throat, c.Flown.Throat.Exact = 14.25e-3, true }},
		[]string{"14.25 mm: a drill size"},
		[]string{"no drill size"},
	},
	{
		"an assumed margin",
		[]func(c *Card){func(c *Card) { c.Flown.Balance = pad.Balance{Holds: true, Fore: 0.03, Aft: 0.01, Assumed: 1} }},
		[]string{"aft of it: 10 mm at most; forward of it: 30 mm at most", "every limit holds, and a margin of 1 calibre"},
		nil,
	},
	{
		"no tolerance",
		[]func(c *Card){func(c *Card) { c.Flown.Balance = pad.Balance{} }},
		[]string{"No tolerance: as planned the rocket misses a limit."},
		[]string{"at most"},
	},
	{
		"no tolerance against an assumed margin",
		[]func(c *Card){func(c *Card) { c.Flown.Balance = pad.Balance{Assumed: 1} }},
		[]string{"misses a limit, or a margin of 1 calibre"},
		[]string{"at most"},
	},
	{
		"proof pressure as customary",
		[]func(c *Card){func(c *Card) { c.Rocket.Chamber.Proof = 1.5 * c.Rocket.Chamber.Pressure }},
		[]string{"1.50 the least before air, and the proof pressure"},
		[]string{"of the brief"},
	},
	{
		"weighed, without ballast",
		[]func(c *Card){func(c *Card) { c.Statics.Weighed, c.Rocket.Ballast.Mass = true, 0 }},
		[]string{"The scale says 713 g, balance at 652 mm"},
		[]string{"ballast of"},
	},
}

// TestBuildSheetIsRead holds each number of the build sheet to where it comes
// from.
func TestBuildSheetIsRead(t *testing.T) {
	for _, row := range sheets {
		page, err := made(row.change...).SheetHTML()
		if err != nil {
			t.Fatal(err)
		}
		_, body, _ := strings.Cut(string(page), "<body")
		wants(t, row.why, regexp.MustCompile(`<b>|</b>`).ReplaceAllString(regexp.MustCompile(`</t[dh]>`).ReplaceAllString(regexp.MustCompile(`<t[rdh][^>]*>`).ReplaceAllString(body, " "), " "), ""), row.says, row.silent)
	}
}

// TestCardJSON holds what a card in JSON leaves out or makes null.
func TestCardJSON(t *testing.T) {
	read := func(change ...func(c *Card)) map[string]any {
		data, err := made(change...).JSON()
		if err != nil {
			t.Fatal(err)
		}
		var got map[string]any
		if err := json.Unmarshal(data, &got); err != nil {
			t.Fatal(err)
		}
		return got
	}
	at := func(v any, keys ...any) any {
		for _, k := range keys {
			switch k := k.(type) {
			case string:
				v = v.(map[string]any)[k]
			case int:
				v = v.([]any)[k]
			}
		}
		return v
	}
	plan := read()
	none := read(func(c *Card) {
		c.Flown.Word = study.NoGo
		c.Flown.Call = study.Call{Word: study.NoGo, Slacks: c.Row.Slacks}
		c.Flown.Balance.Assumed = 1
		c.Flown.Without.Downwind = math.NaN()
	})
	for _, row := range []struct {
		of   map[string]any
		keys []any
		want any
	}{
		{plan, []any{"set", "chamber_fill"}, 0.305},
		{plan, []any{"set", "pressure_ceiling_pa"}, 8e5},
		{none, []any{"set"}, nil},
		{plan, []any{"balance", "assumed_margin_cal"}, nil},
		{none, []any{"balance", "assumed_margin_cal"}, 1.0},
		{plan, []any{"balance", "fore_m"}, nil},
		{plan, []any{"balance", "aft_m"}, 0.0127},
		{plan, []any{"throat", "drill_m"}, 0.011},
		{plan, []any{"judged", "safety_kept"}, 0.9975},
		{none, []any{"judged", "safety_kept"}, nil},
		{none, []any{"judged", "safety_kept_at_least"}, nil},
		{plan, []any{"limits", 1, "kept"}, 0.9975},
		{plan, []any{"limits", 1, "slack_deg"}, 1.25},
		{none, []any{"limits", 1, "kept"}, nil},
		{plan, []any{"without_canopy", "landing_speed_m_s"}, 31.2},
		{none, []any{"without_canopy", "landing_speed_m_s"}, nil},
		{none, []any{"with_canopy", "landing_speed_m_s"}, 4.99},
	} {
		if got := at(row.of, row.keys...); got != row.want {
			t.Errorf("%v = %v, want %v", row.keys, got, row.want)
		}
	}
}
