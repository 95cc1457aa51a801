package brief

import "slices"

// nearWords are words that people write for names of a brief: last names of keys
// and tables.
var nearWords = map[string][]string{
	"parachute": {"canopy"}, "chute": {"canopy"}, "streamer": {"canopy"},
	"bottle": {"chamber"}, "tank": {"chamber"}, "vessel": {"chamber"},
	"weight": {"mass"}, "nozzle": {"throat"}, "orifice": {"throat"}, "water": {"fill"}, "tested": {"proof"}, "burst": {"proof"},
	"cg": {"balance", "station"}, "cog": {"balance", "station"}, "position": {"station"}, "location": {"station"},
	"timer": {"delay"}, "rail": {"guide"}, "rod": {"guide"}, "angle": {"tilt"}, "altitude": {"elevation", "apogee"}, "height": {"span", "apogee"},
	"sweep": {"rake"}, "number": {"count"}, "thick": {"thickness"}, "width": {"diameter"}, "airframe": {"body"}, "fuselage": {"body"},
	"launch": {"site"}, "weather": {"site"}, "pad": {"site"}, "parts": {"part"}, "stability": {"margin"}, "range": {"drift"},
}

// meantKey returns the key, of those that are there once, that ends in what the
// last name of an unknown key may mean, or "".
func meantKey(key string) string {
	for _, name := range nearWords[lastName(key)] {
		i := slices.IndexFunc(singleKeys(), func(k string) bool { return lastName(k) == name })
		if i >= 0 {
			return singleKeys()[i]
		}
	}
	return ""
}
