package main

import (
	"fmt"
	"math"
	"strings"
	"text/template"

	"ullage/model"
	"ullage/optimize/brief"
)

// composed returns the brief that answers make, with what is assumed marked, and
// what they contradict.
func composed(a *answered) (src []byte, fault error) {
	a.chamber()
	a.rakeAndStation()
	mass, station := a.si["weighed.mass"], a.si["weighed.balance"]
	text := a.text(mass, station)
	if b, err := brief.Parse("answers", []byte(text)); err == nil {
		mass, station = a.bare(b)
		text = a.text(mass, station)
	}
	if a.written["chamber.proof"] == "" {
		return []byte(text), nil // it lacks what nobody can answer yet
	}
	if _, err := brief.Parse("the answers", []byte(text)); err != nil {
		return []byte(text), coded{err, exitUsage}
	}
	return []byte(text), nil
}

// chamber works out bore, ends and cylinder: hemispheres, and of a volume a wall
// of half a millimetre.
func (a *answered) chamber() {
	const wall = 0.0005 // m, ours
	volume, measured := a.si["chamber.volume"]
	if measured {
		a.put("chamber.bore", a.si["body.diameter"]-2*wall)
	}
	bore := a.si["chamber.bore"]
	a.put("chamber.end", bore/2)
	if measured {
		ends := model.SummedVolume(&model.Chamber{Bore: bore, End: bore / 2})
		metre := model.SummedVolume(&model.Chamber{Bore: bore, Cylinder: 1, End: bore / 2}) - ends // m³ a metre
		a.put("chamber.cylinder", math.Max(0, math.Round((volume-ends)/metre*1e3)/1e3))
	}
}

// rakeAndStation lets the fins end at the nozzle exit, with trailing edges that
// stand straight out.
func (a *answered) rakeAndStation() {
	a.put("fins.rake", math.Max(0, a.si["fins.root"]-a.si["fins.tip"]))
	a.put("fins.station", math.Max(0, a.si["body.length"]-a.si["fins.root"]))
}

// put gives a key a value that was not answered.
func (a *answered) put(key string, v float64) {
	a.si[key], a.written[key] = v, brief.MustQuantity(key).Text(v)
}

// bare returns mass and station of all but the fins, so that the sum is what the
// scale says; of fins that weigh more than that, those of the whole.
func (a *answered) bare(b *brief.Brief) (mass, station float64) {
	mass, station = a.si["weighed.mass"], a.si["weighed.balance"]
	st, ok := model.Weigh(&b.Rocket, &b.Site)
	if !ok || st.FinMass >= mass {
		return mass, station
	}
	// The sum is of the part, which was given the whole mass, and the fins.
	fins := (st.SummedCG*st.SummedMass - mass*station) / st.FinMass // station of their centre
	rest := mass - st.FinMass
	at := (mass*station - st.FinMass*fins) / rest
	if at <= 0 || at >= b.Rocket.Body.Length {
		return mass, station
	}
	return math.Round(rest*1e4) / 1e4, math.Round(at*1e4) / 1e4
}

// layout is the brief that answers make.
var layout = template.Must(template.New("").Parse(`# Made of answers; "assumed" marks what was not asked. ullage keys explains every key.
title = {{printf "%q" .Title}}

[site]
guide = {{.Quoted "site.guide"}}
wind  = {{.Quoted "site.wind"}} # at 10 m

[body]
diameter = {{.Quoted "body.diameter"}}
length   = {{.Quoted "body.length"}} # nose tip to nozzle exit
nose     = { shape = "ellipsoid", length = {{.Quoted "body.nose.length"}} } # the shape is assumed

[chamber]
{{- if .Has "chamber.volume"}}
# assumed: a bore and a cylinder that fit the volume
volume   = {{.Quoted "chamber.volume"}}
{{- end}}
bore     = {{.Quoted "chamber.bore"}}
cylinder = {{.Quoted "chamber.cylinder"}}
end      = {{.Quoted "chamber.end"}} # assumed: hemispheres
throat   = {{.Quoted "chamber.throat"}}
fill     = 0.3 # assumed; a search finds it
{{- if .Has "chamber.proof"}}
proof    = {{.Quoted "chamber.proof"}} # gauge, tested full of water
pressure = {{.Quoted "chamber.pressure"}} # gauge
{{- else}}
# PROOF: {{.Untested}}
# proof = 
# pressure = at most proof over 1.5
{{- end}}

[fins]
count     = {{.Written "fins.count"}}
root      = {{.Quoted "fins.root"}}
tip       = {{.Quoted "fins.tip"}}
span      = {{.Quoted "fins.span"}}
thickness = {{.Quoted "fins.thickness"}}
material  = {{.Quoted "fins.material"}}
rake      = {{.Quoted "fins.rake"}} # assumed: trailing edges straight out
station   = {{.Quoted "fins.station"}} # assumed: the roots end at the nozzle exit

[[part]]
name    = "all but the fins"
mass    = {{.Quoted "part.mass"}}
station = {{.Quoted "part.station"}}
length  = {{.Quoted "part.length"}} # assumed: the mass is spread over so much of the rocket

[payload]
mass    = "0 g" # more than what lay on the scale
station = {{.Quoted "payload.station"}} # assumed

[ballast]
mass    = "0 g" # more than what lay on the scale; a search finds it
station = {{.Quoted "ballast.station"}} # assumed: in the nose
{{- if .Has "recovery.canopy"}}

[recovery]
canopy = {{.Quoted "recovery.canopy"}} # spread flat
delay  = {{.Quoted "recovery.delay"}} # from release
{{- end}}

[weighed]
mass    = {{.Quoted "weighed.mass"}} # ready to fly but without water
balance = {{.Quoted "weighed.balance"}} # from the nose tip
payload = "0 g" # that lay on the scale beside what belongs to the rocket
ballast = "0 g"

[vary] # what a search may change
"chamber.fill"   = { from = 0.15, to = 0.6, step = 0.01 }
"ballast.mass"   = { from = "0 g", to = "150 g", step = "5 g" }
{{- if .Has "recovery.canopy"}}
"recovery.delay" = { from = "1 s", to = "10 s", step = "0.1 s" }
{{- end}}

[goals]
apogee = "highest"

[limits] # beside the default ones, of proof and others
landing_speed = { at_most = "6.5 m/s" }
flutter_factor = { at_least = 1.3 }
{{- if .Has "recovery.canopy"}}
deploy_speed = { at_most = "12 m/s" }
{{- end}}

[scatter] # one standard deviation of what differs from flight to flight, assumed
"chamber.pressure" = "2 %"
"chamber.fill"     = 0.01
{{- if .Has "recovery.canopy"}}
"recovery.delay"   = "0.1 s"
"recovery.drag"    = "5 %"
{{- end}}
"body.drag"        = "5 %"
"site.wind"        = "1 m/s"
"site.tilt"        = "1 deg"

[search]
flights = 20000
robust  = { draws = 100, confidence = 0.95 } # every limit holds in so many of the flights under scatter
`))

// Has reports whether a key was answered or worked out.
func (a *answered) Has(key string) bool { return a.written[key] != "" }

// Written returns the value of a key.
func (a *answered) Written(key string) string { return a.written[key] }

// Quoted returns the value of a key as a text of TOML.
func (a *answered) Quoted(key string) string { return `"` + a.written[key] + `"` }

// Untested says why there is no pressure.
func (a *answered) Untested() string { return untested }

// text lays the brief out, of a rocket whose part without the fins has that mass
// and station.
func (a *answered) text(mass, station float64) string {
	nose := a.si["body.nose.length"]
	a.put("payload.station", nose)
	a.put("ballast.station", nose/2)
	a.written["part.mass"] = fmt.Sprintf("%.4g g", mass*1e3)
	a.written["part.station"] = fmt.Sprintf("%.4g mm", station*1e3)
	a.written["part.length"] = fmt.Sprintf("%.0f mm", math.Floor(spread(station, a.si["body.length"])*1e3))
	var b strings.Builder
	if err := layout.Execute(&b, a); err != nil {
		panic(err) // a strings.Builder takes everything
	}
	return b.String()
}

// spread returns over what length the mass of a rocket is spread: half of it, but
// within the rocket.
func spread(station, length float64) float64 {
	return math.Max(0, math.Min(length/2, 2*math.Min(station, length-station)))
}
