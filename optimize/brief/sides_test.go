package brief_test

import (
	"strings"
	"testing"

	"ullage/optimize/brief"
)

// A side is a change to the demo brief that lies on one side of a rule: want is what is
// said of it, without its place, or empty where it passes.
type sideOf struct {
	was, now string // in the text; an empty was sets
	set      []string
	want     string
}

// Pieces of the demo brief, and what stands in their place.
const (
	sideNoLine  = "line = \"400 N\"\n"
	sideHighest = `apogee         = "highest"`
	sideMargin  = `margin         = { highest = true, up_to = 2.0 }`
	sideDrift   = `drift          = { at_most = "70 m" }`
	sideSpan    = `{ from = "80 mm", to = "180 mm", step = "2 mm" }`
	sideDays    = "[scatter.day]\n\"site.wind\" = \"2 m/s\"\n\n[search]"
	sideRobust  = "[search]\nrobust = { draws = 500 }\n"
)

// bothSides are the rules of a brief, each with what keeps it and what does not.
var bothSides = map[string][]sideOf{
	"units of the card": {
		{was: "title =", now: "units = \"metric\"\ntitle ="},
		{was: "title =", now: "units = \"us\"\ntitle ="},
		{was: "title =", now: "units = \"US\"\ntitle =", want: `units: "US", want metric or us`},
		{was: "title =", now: "units = 1\ntitle =", want: `units: 1, want metric or us`},
	},
	"a title is a text": {
		{was: "title = \"Four-and-a-half-litre class, club field day\"", now: ""},
		{was: "title = \"Four-and-a-half-litre class, club field day\"", now: "title = 4", want: "title: 4, want a text"},
	},
	"a date of proof": {
		{set: []string{"chamber.proof_date=2026-02-28"}},
		{set: []string{"chamber.proof_date=2026-02-30"}, want: `chamber.proof_date: "2026-02-30", want a date such as 2026-03-14`},
		{was: "gas_jet  = 0.95", now: "gas_jet  = 0.95\nproof_date = 2026-02-28"},
	},
	"a population to breed from": {
		{set: []string{"search.population=0"}},
		{set: []string{"search.population=4"}},
		{set: []string{"search.population=3"}, want: "search.population: 3, want 0 or at least 4"},
		{set: []string{"search.population=1"}, want: "search.population: 1, want 0 or at least 4"},
	},
	"an island has a flight": {
		{set: []string{"search.flights=4"}},
		{set: []string{"search.flights=3"}, want: "search.flights: 3, want at least search.islands, 4"},
		{set: []string{"search.flights=7", "search.islands=7"}},
		{set: []string{"search.flights=7", "search.islands=8"}, want: "search.islands: 8, want at most search.flights, 7"},
	},
	"a range goes up": {
		{was: sideSpan, now: `{ from = "80 mm", to = "80.1 mm" }`},
		{was: sideSpan, now: `{ from = "80 mm", to = "80 mm" }`, want: "vary.fins.span.to: from is 80 mm, to 80 mm, want from below to"},
		{was: sideSpan, now: `{ to = "80 mm", from = "80 mm" }`, want: "vary.fins.span.from: from is 80 mm, to 80 mm, want from below to"},
		{was: sideSpan, now: `{ from = "4 mm", to = "180 mm" }`, want: `vary.fins.span.from: "4 mm", want 5 mm to 2000 mm`},
		{was: sideSpan, now: `{ from = "5 mm", to = "2000 mm" }`},
		{was: sideSpan, now: `{ from = "5 mm", to = "2001 mm" }`, want: `vary.fins.span.to: "2001 mm", want 5 mm to 2000 mm`},
		{was: sideSpan, now: `{ from = "80 mm" }`, want: "vary.fins.span: no from and to, want { from = …, to = … } or { choices = [ … ] }"},
		{was: sideSpan, now: `{ to = "80 mm" }`, want: "vary.fins.span: no from and to, want { from = …, to = … } or { choices = [ … ] }"},
		{was: sideSpan, now: `{ choices = ["80 mm"], from = "1 mm" }`, want: "vary.fins.span.choices: given with from, to or step, want one or the other"},
		{was: sideSpan, now: `{ choices = ["80 mm"], to = "1 mm" }`, want: "vary.fins.span.choices: given with from, to or step, want one or the other"},
		{was: sideSpan, now: `{ choices = ["80 mm"], step = "1 mm" }`, want: "vary.fins.span.choices: given with from, to or step, want one or the other"},
		{was: sideSpan, now: `{ choices = ["80 mm", "8 cm"] }`, want: `vary.fins.span.choices[2]: "8 cm" again, want each choice once`},
		{was: sideSpan, now: `{ choices = [] }`, want: `vary.fins.span.choices: an empty list, want a list of values`},
	},
	"a step fits into its range": {
		{was: sideSpan, now: `{ from = "80 mm", to = "90 mm", step = "9.9 mm" }`},
		{was: sideSpan, now: `{ from = "80 mm", to = "90 mm", step = "10.1 mm" }`, want: "vary.fins.span.step: 10.1 mm, want above 0 and smaller than the range"},
		{was: `{ from = 0.12, to = 0.45, step = 0.005 }`, now: `{ from = 0.25, to = 0.5, step = 0.25 }`, want: "vary.chamber.fill.step: 0.25, want above 0 and smaller than the range"},
		{was: sideSpan, now: `{ from = "80 mm", to = "90 mm", step = "0 mm" }`, want: "vary.fins.span.step: 0 mm, want above 0 and smaller than the range"},
	},
	"what is varied is there": {
		{was: "[vary]\n", now: "[vary]\n\"site.temperature\" = { from = \"10 degC\", to = \"20 degC\" }\n"},
		{was: "temperature = \"17 degC\"", now: "", want: ""},
		{was: "[vary]\n", now: "[vary]\n\"chamber.neck\" = { from = \"1 mm\", to = \"2 mm\" }\n", want: "vary.chamber.neck: no value of its own, want chamber.neck in its section"},
		{was: "canopy = \"90 cm\"\ndrag = 0.75\ndelay = \"4 s\"\nlatency = \"0.3 s\"\n" + sideNoLine, now: "delay = \"4 s\"\n", want: "vary.recovery.delay: varied, and there is no canopy, want recovery.canopy"},
	},
	"a height to aim for": {
		{was: sideHighest, now: `apogee = { nearest = "0 m" }`},
		{was: sideHighest, now: `apogee = { nearest = "-1 m" }`, want: "goals.apogee.nearest: -1 m, want at least 0"},
		{was: sideHighest, now: `apogee = { highest = true, up_to = "0.001 m" }`},
		{was: sideHighest, now: `apogee = { highest = true, up_to = "0 m" }`, want: "goals.apogee.up_to: 0 m, want above 0"},
		{was: sideHighest, now: `apogee = { lowest = true, up_to = "0 m" }`},
		{was: sideHighest, now: `apogee = { lowest = true, up_to = "-0.001 m" }`, want: "goals.apogee.up_to: -0.001 m, want at least 0"},
		{was: sideHighest, now: `apogee = { nearest = "9 m", up_to = "9 m" }`, want: "goals.apogee.up_to: given with nearest, want it with highest or lowest"},
		{was: sideHighest, now: `apogee = { nearest = "9 m", lowest = true }`, want: "goals.apogee: 2 senses, want one of highest, lowest or nearest"},
		{was: sideHighest, now: `apogee = { up_to = "9 m" }`, want: "goals.apogee: 0 senses, want one of highest, lowest or nearest"},
		{was: sideHighest, now: `apogee = { lowest = false }`, want: "goals.apogee.lowest: false, want true"},
		{was: sideHighest, now: `apogee = { lowest = "true" }`, want: `goals.apogee.lowest: "true", want true`},
		{was: sideHighest, now: `apogee = "higher"`, want: `goals.apogee: "higher", want "highest", "lowest" or { nearest = … }`},
		{was: sideHighest, now: `apogee = 3`, want: `goals.apogee: 3, want "highest", "lowest" or { nearest = … }`},
	},
	"a figure of either sign": {
		{was: sideMargin, now: `margin = { highest = true, up_to = -0.5 }`},
		{was: sideMargin, now: `drift = { nearest = "-20 m" }`},
		{was: sideMargin, now: `acceleration = { nearest = "-20 gn" }`, want: "goals.acceleration.nearest: -20 gn, want at least 0"},
	},
	"a quantity to aim for": {
		{was: `"payload.mass" = "highest"`, now: `"payload.mass" = { highest = true, up_to = "20 kg" }`},
		{was: `"payload.mass" = "highest"`, now: `"payload.mass" = { highest = true, up_to = "20.1 kg" }`, want: "goals.payload.mass.up_to: 20.1 kg, want 0 g to 20000 g"},
		{was: `"payload.mass" = "highest"`, now: `"payload.mass" = { nearest = "0 g" }`},
		{was: `"payload.mass" = "highest"`, now: `"payload.mass" = { nearest = "-1 g" }`, want: "goals.payload.mass.nearest: -1 g, want 0 g to 20000 g"},
		{was: `"payload.mass" = "highest"`, now: `"fins.tip" = "highest"`, want: "goals.fins.tip: never changes, want fins.tip in [vary]"},
	},
	"five goals": {
		{was: sideMargin, now: sideMargin + "\ndrift = \"lowest\"\nimpulse = \"lowest\""},
		{was: sideMargin, now: sideMargin + "\ndrift = \"lowest\"\nimpulse = \"lowest\"\nwater_time = \"lowest\"", want: "goals.water_time: goal 6, want at most 5"},
	},
	"a limit's bounds": {
		{was: sideDrift, now: `drift = { at_most = "0 m" }`},
		{was: sideDrift, now: `drift = { at_most = "-1 m" }`, want: "limits.drift.at_most: -1 m, want at least 0"},
		{was: sideDrift, now: `apogee = { at_least = "0 m" }`},
		{was: sideDrift, now: `apogee = { at_least = "-1 m" }`, want: "limits.apogee.at_least: -1 m, want at least 0"},
		{was: sideDrift, now: `deploy_late = { at_least = "-1 s" }`},
		{was: sideDrift, now: `thrust_end_height = { at_least = "-1 m" }`},
		{was: sideDrift, now: `guide_margin = { at_least = -1 }`},
		{was: sideDrift, now: `dry_margin = { at_least = -1 }`},
		{was: sideDrift, now: `gust_incidence = { at_most = "0 deg" }`},
		{was: sideDrift, now: `gust_incidence = { at_most = "-1 deg" }`, want: "limits.gust_incidence.at_most: -1 deg, want at least 0"},
		{was: sideDrift, now: `"site.tilt" = { at_least = "-1 deg" }`},
		{was: sideDrift, now: `apogee = { at_least = "5 m", at_most = "5 m" }`},
		{was: sideDrift, now: `apogee = { at_least = "5 m", at_most = "4.9 m" }`, want: "limits.apogee.at_most: at_least is 5 m, at_most 4.9 m, want at_least at most at_most"},
		{was: sideDrift, now: `apogee = { at_most = "4.9 m", at_least = "5 m" }`, want: "limits.apogee.at_least: at_least is 5 m, at_most 4.9 m, want at_least at most at_most"},
		{was: sideDrift, now: `proof_ratio = { at_least = 1.1 }`},
		{was: sideDrift, now: `proof_ratio = { at_least = 1.09 }`, want: "limits.proof_ratio.at_least: 1.09, want at least 1.1"},
		{was: sideDrift, now: `proof_ratio = { at_most = 3 }`, want: "limits.proof_ratio: no at_least, want at least 1.1"},
		{was: sideDrift, now: `proof_ratio = "none"`, want: `limits.proof_ratio: no limit to switch off, want a limit, or "none" for dry_margin, margin, peak_incidence, deploy_speed or landing_speed`},
		{was: sideDrift, now: `peak_incidence = "none"`},
		{was: sideDrift, now: `bare_drift = { at_most = "9 m" }`, want: "limits.bare_drift: takes flights of its own and cannot stand in [limits], want a figure such as apogee or a quantity such as fins.span"},
	},
	"a deviation": {
		{was: `"1.5 %"`, now: `"1000 %"`},
		{was: `"1.5 %"`, now: `"1001 %"`, want: "scatter.chamber.pressure: 1001 %, want at most as much as its range of validity, 0.1 bar to 150 bar, or 1000 %"},
		{was: `"1.5 %"`, now: `"0 %"`, want: "scatter.chamber.pressure: 0 %, want above 0"},
		{was: `"1.5 %"`, now: `"149.9 bar"`},
		{was: `"1.5 %"`, now: `"150 bar"`, want: "scatter.chamber.pressure: 150 bar, want at most as much as its range of validity, 0.1 bar to 150 bar, or 1000 %"},
		{was: `"1.5 %"`, now: `"-1 bar"`, want: "scatter.chamber.pressure: -1 bar, want above 0"},
		{was: `"1.5 %"`, now: `0.1`, want: `scatter.chamber.pressure: 0.1 has no unit, want a pressure such as "15 bar"`},
		{was: `"chamber.fill"     = 0.006`, now: `"chamber.volume" = "1 %"`, want: "scatter.chamber.volume: no value of its own, want chamber.volume in its section"},
		{was: `"chamber.fill"     = 0.006`, now: `"ballast.mass" = "1 g"`, want: "scatter.ballast.mass: no value of its own, want ballast.mass in its section"},
		{was: `"chamber.fill"     = 0.006`, now: `"fins.count" = 1`, want: "scatter.fins.count: a count does not scatter, want it left out"},
	},
	"what a goal counts": {
		{was: sideHighest, now: `apogee = { highest = true, as = "best 10 of 10" }` + "\n", set: []string{"search.robust.draws=500"}},
		{was: sideHighest, now: `apogee = { highest = true, as = "best 1 of 11" }`, set: []string{"search.robust.draws=500"}, want: `goals.apogee.as: "best 1 of 11", want no more flights than there are, and at most 10`},
		{was: sideHighest, now: `apogee = { highest = true, as = "best 3 of 2" }`, set: []string{"search.robust.draws=500"}, want: `goals.apogee.as: "best 3 of 2", want no more flights than there are, and at most 10`},
		{was: sideHighest, now: `apogee = { highest = true, as = "best 0 of 2" }`, set: []string{"search.robust.draws=500"}, want: `goals.apogee.as: "best 0 of 2", want "mean", "p10" or such as "best 2 of 3"`},
		{was: sideHighest, now: `apogee = { highest = true, as = "p10" }`, set: []string{"search.robust.draws=500"}},
		{was: sideHighest, now: `apogee = { highest = true, as = "p10" }`, want: "goals.apogee.as: the search is not robust, want search.robust"},
		{was: sideHighest, now: `apogee = { highest = true, as = 3 }`, want: `goals.apogee.as: 3, want "mean", "p10" or such as "best 2 of 3"`},
	},
	"the proof pressure": {
		{set: []string{"chamber.pressure=22.49 bar"}},
		{set: []string{"chamber.pressure=22.5 bar"}, want: "chamber.pressure: 22.5 bar, want below chamber.proof, 22.5 bar"},
		{set: []string{"chamber.proof=15 bar"}, want: "chamber.proof: 15 bar, want above chamber.pressure, 15 bar"},
		{set: []string{"chamber.proof=15.01 bar"}},
	},
	"what a wall stretches": {
		{set: []string{"chamber.growth=1.6666 %/bar"}},
		{set: []string{"chamber.growth=1.6668 %/bar"}, want: "chamber.growth: the chamber grows by 25 %, want chamber.growth times chamber.pressure at most 25 %"},
		{set: []string{"chamber.growth=1.2 %/bar", "chamber.pressure=21 bar"}, want: "chamber.pressure: the chamber grows by 25.2 %, want chamber.growth times chamber.pressure at most 25 %"},
		{set: []string{"chamber.growth=1.25 %/bar", "chamber.pressure=20 bar"}},
		{set: []string{"chamber.growth=1.25000000123 %/bar", "chamber.pressure=20 bar"}},
		{set: []string{"chamber.growth=1.25000000127 %/bar", "chamber.pressure=20 bar"}, want: "chamber.pressure: the chamber grows by 25 %, want chamber.growth times chamber.pressure at most 25 %"},
	},
	"a measured volume": {
		{set: []string{"chamber.volume=2.224 l"}},
		{set: []string{"chamber.volume=2.223 l"}, want: "chamber.volume: 2.223 l, want 0.5 to 2 times the 4.44662 l of bore, cylinder and ends"},
		{set: []string{"chamber.volume=8.893 l"}},
		{set: []string{"chamber.volume=8.894 l"}, want: "chamber.volume: 8.894 l, want 0.5 to 2 times the 4.44662 l of bore, cylinder and ends"},
	},
	"stations within the body": {
		{set: []string{"payload.station=1.36 m"}},
		{set: []string{"payload.station=1.36000000098 m"}},
		{set: []string{"payload.station=1.36000000102 m"}, want: "payload.station: 1360 mm, want at most body.length, 1360 mm"},
		{set: []string{"payload.station=1.361 m"}, want: "payload.station: 1361 mm, want at most body.length, 1360 mm"},
		{set: []string{"ballast.mass=1 g", "ballast.station=1.36 m"}},
		{set: []string{"ballast.mass=1 g", "ballast.station=1.361 m"}, want: "ballast.station: 1361 mm, want at most body.length, 1360 mm"},
		{set: []string{"recovery.mass=1 g", "recovery.station=1.36 m"}},
		{set: []string{"recovery.mass=1 g", "recovery.station=1.361 m"}, want: "recovery.station: 1361 mm, want at most body.length, 1360 mm"},
		{was: `station = "960 mm"`, now: `station = "1.36 m"`},
		{was: `station = "960 mm"`, now: `station = "1.361 m"`, want: "part[1].station: 1361 mm, want at most body.length, 1360 mm"},
	},
	"a scale": {
		{was: "\"fins.span\"      = " + sideSpan, now: "", set: []string{"weighed.mass=220 g", "weighed.balance=1.36 m"}},
		{was: "\"fins.span\"      = " + sideSpan, now: "", set: []string{"weighed.mass=219 g", "weighed.balance=0.7 m"}, want: "weighed.mass: 219 g, want at least payload and ballast together, 220 g"},
		{was: "\"fins.span\"      = " + sideSpan, now: "", set: []string{"weighed.mass=900 g", "weighed.balance=1.361 m"}, want: "weighed.balance: 1361 mm, want at most body.length, 1360 mm"},
		{set: []string{"weighed.mass=900 g", "weighed.balance=0.7 m"}, want: "vary.fins.span: varied, and the rocket is weighed, want the fins as they were built"},
	},
	"a robust search": {
		{was: "[search]\n", now: sideRobust},
		{was: "[search]\n", now: "[search]\nrobust = { draws = 500, confidence = 0.999 }\n", want: "search.robust.draws: 500, want at least 2995 to show that a limit holds with a chance of 0.999"},
		{was: "[search]\n", now: "[search]\nrobust = { draws = 2995, confidence = 0.999 }\n"},
		{was: "[search]\n", now: "[search]\nrobust = { draws = 2994, confidence = 0.999 }\n", want: "search.robust.draws: 2994, want at least 2995 to show that a limit holds with a chance of 0.999"},
		{was: "[search]\n", now: sideDays + "\n", set: []string{"search.robust.draws=500"}},
	},
	"a canopy's key": {
		{was: "delay = \"4 s\"\nlatency", now: "latency", want: `recovery.delay: missing, want a time such as "5.2 s"` + "\n" + "vary.recovery.delay: no value of its own, want recovery.delay in its section\nscatter.recovery.delay: no value of its own, want recovery.delay in its section"},
		{set: []string{"recovery.mass=40 g"}, want: `recovery.station: missing, want a length such as "220 mm"`},
		{set: []string{"recovery.mass=40 g", "recovery.station=0.2 m"}},
	},
	"an amount of water needs a chamber, and its faults are told once": {
		{set: []string{"chamber.fill=1.3 l"}},
		{set: []string{"chamber.fill=1.3 l", "chamber.bore=x"}, want: `chamber.bore: "x", want a length such as "87 mm"`},
		{set: []string{"chamber.fill=1.3 l", "chamber.cylinder=x"}, want: `chamber.cylinder: "x", want a length such as "690 mm"`},
		{set: []string{"chamber.fill=1.3 l", "chamber.end=x"}, want: `chamber.end: "x", want a length such as "43.5 mm"`},
		{set: []string{"chamber.fill=1.3 l", "chamber.volume=x"}, want: `chamber.volume: "x", want a volume such as "4.38 l"`},
		{set: []string{"chamber.fill=1.3 km"}, want: `chamber.fill: "1.3 km" has no known unit, want "1.3 kg"`},
	},
	"an argument of --set": {
		{set: []string{" "}, want: `no "=", want key=value`},
		{set: []string{"vary=1"}, want: "vary: unknown key, want site, body, chamber, fins, payload, ballast, recovery, weighed or search"},
	},
}

// Each rule of a brief passes what is just inside it and refuses what is just beyond.
func TestBothSides(t *testing.T) {
	for rule, sides := range bothSides {
		for _, s := range sides {
			text := string(read(t, demos+"field-day.toml"))
			if !strings.Contains(text, s.was) {
				t.Fatalf("%s: the demo has no %q", rule, s.was)
			}
			_, err := brief.Parse("x.toml", []byte(strings.Replace(text, s.was, s.now, 1)), s.set...)
			if got := facts(err); got != s.want {
				t.Errorf("%s: %s %q: %q, want %q", rule, s.now, s.set, got, s.want)
			}
		}
	}
}

// facts returns the lines of an error without their places.
func facts(err error) string {
	if err == nil {
		return ""
	}
	lines := strings.Split(err.Error(), "\n")
	for i, line := range lines {
		_, lines[i], _ = strings.Cut(line, ": ")
	}
	return strings.Join(lines, "\n")
}
