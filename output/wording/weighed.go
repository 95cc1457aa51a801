package wording

import (
	"fmt"

	"ullage/model"
	"ullage/output/text"
)

// WeighedWith says what was aboard when a rocket was weighed: what a brief has in
// its place later is added to it or taken off.
func WeighedWith(s *model.Statics) string {
	gram := text.Show("", "kg").Number
	aboard := fmt.Sprintf("weighed with %s g payload, %s g ballast", gram(s.Aboard.Payload), gram(s.Aboard.Ballast))
	if s.Aboard.Canopy > 0 {
		aboard += ", a canopy of " + gram(s.Aboard.Canopy) + " g"
	}
	return aboard + " aboard"
}
