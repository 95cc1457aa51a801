// Package pad says what must be known of a design where it is flown: whether it is
// GO with the room that the field leaves, where it may come down, what would mend
// it, what to set if the day turns out otherwise, the strongest wind, and a design
// of a run that is GO. A pad card and a build sheet are made of it. Each number
// comes from flights of its own. Start from CardOf, EveningOf, Room and Words.
//
// Numbers are in SI units. The package never does I/O, logs or reads a clock; what
// it draws at random is the same on every call.
package pad
