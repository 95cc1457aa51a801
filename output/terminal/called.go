package terminal

import (
	"fmt"

	"ullage/optimize/study"
	"ullage/output/text"
)

// A Called counts what designs of a front are called, by flights under scatter.
type Called struct {
	Designs int `json:"designs"`
	Go      int `json:"go"`
	Tight   int `json:"tight"`
	NoGo    int `json:"no_go"`
}

// CalledOf counts the words on designs.
func CalledOf(words []study.Word) *Called {
	c := Called{Designs: len(words)}
	for _, w := range words {
		switch w {
		case study.Go:
			c.Go++
		case study.Tight:
			c.Tight++
		case study.NoGo:
			c.NoGo++
		}
	}
	return &c
}

// Words says the counts, and what to do where not all are GO.
func (c *Called) Words() string {
	line := fmt.Sprintf("called by %d flights each under scatter: of %s %d GO; %d GO, TIGHT; %d NO-GO", study.CallFlights, text.Count(c.Designs, "design"), c.Go, c.Tight, c.NoGo)
	if c.Go < c.Designs {
		line += "; card --room takes one that is GO"
	}
	return text.Folded("", line)
}
