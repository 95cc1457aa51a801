package program

// Question is what a search of rocket.toml, of the tests of cmd/ullage, is asked.
const Question = `
[vary]
"fins.span"      = { from = "80 mm", to = "180 mm", step = "2 mm" }
"chamber.throat" = { from = "6 mm", to = "16 mm" }
"payload.mass"   = { from = "40 g", to = "240 g", step = "5 g" }
[goals]
apogee         = "highest"
"payload.mass" = "highest"
[limits]
margin        = { at_least = 1.0 }
landing_speed = { at_most = "6 m/s" }
`

// Plain is a search of rocket.toml that takes a second or so.
const Plain = Question + `[search]
flights = 6000
islands = 2
front = 6
`

// Robust is one that proves its designs.
const Robust = `
[vary]
"fins.span"    = { from = "80 mm", to = "180 mm" }
"payload.mass" = { from = "40 g", to = "240 g", step = "5 g" }
[goals]
apogee = "highest"
margin = { highest = true, up_to = 2.0 }
[limits]
margin        = { at_least = 1.0 }
landing_speed = { at_most = "6 m/s" }
[scatter]
"chamber.pressure" = "1.5 %"
"recovery.delay"   = "0.1 s"
[search]
flights = 3000
islands = 1
front = 5
robust = { draws = 40, confidence = 0.9 }
`
