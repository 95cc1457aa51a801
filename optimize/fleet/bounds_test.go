package fleet

import (
	"strings"
	"testing"
	"time"

	"ullage/optimize"
	"ullage/optimize/sweep"
)

// What is taken of others is bounded, and how much of an answer is flown again is
// what DEVELOPERS.md says: all of one in 32, one in 8 of the designs that are not
// of the front, one in 16 of the rows.
func TestBounds(t *testing.T) {
	for what, row := range map[string][2]int64{
		"answers, one flown whole":                 {wholeShare, 32},
		"designs, one flown again":                 {restShare, 8},
		"rows, one flown again":                    {rowShare, 16},
		"bytes of a part":                          {partBytes, 64 * 1024},
		"bytes of an island":                       {mostIsland, 1024 * 1024 * 1024},
		"bytes of a job":                           {mostBytes, (1024 + 32) * 1024 * 1024},
		"bytes of a head":                          {mostHead, 4096},
		"bytes of a flaw":                          {mostFlaw, 2000},
		"bytes of a message":                       {mostMessage, 1024 * 1024},
		"bytes of a token's file":                  {mostToken, 4096},
		"bytes of certificates":                    {mostPEM, 16 * 1024 * 1024},
		"bytes of a name":                          {mostName, 80},
		"characters of a token":                    {shortestToken, 16},
		"workers":                                  {mostWorkers, 256},
		"designs in a stretch":                     {rowsAtATime, 4096},
		"designs in a stretch of a tally":          {tallyAtATime, 16384},
		"milliseconds between looks at a spool":    {int64(often / time.Millisecond), 100},
		"milliseconds between beats":               {int64(heartbeat / time.Millisecond), 1000},
		"milliseconds between two tries":           {int64(short / time.Millisecond), 250},
		"milliseconds for workers to take leave":   {int64(closing / time.Millisecond), 300},
		"milliseconds of a flight that is slow":    {int64(slowFlight / time.Millisecond), 4},
		"bytes a second of a line that is slow":    {slowLine, 32 * 1024},
		"populations in an epoch, the first among": {generations, 26},
	} {
		if row[0] != row[1] {
			t.Errorf("%s: %d, want %d", what, row[0], row[1])
		}
	}
}

// The size of a job by hand: of an epoch 26 populations, each flight with a row, a
// block and a print, kept rows apart; of a stretch its rows, or the members of its
// tally.
func TestSizesByHand(t *testing.T) {
	b, p, j := demo(t)
	n, m, l := int64(len(p.Variables)), int64(p.Goals), int64(p.Limits)
	for _, row := range []struct {
		population int
		island     int
	}{{40, 0}, {7, 1000}, {0, 0}} {
		j := j
		j.Leg = &Leg{Settings: optimize.Settings{Population: row.population, Flights: 5000}, Island: make([]byte, row.island)}
		got, err := new(flier).size(&j)
		designs := int64(row.population)
		if designs == 0 {
			designs = 100
		}
		wide := 8*n + 8*m + 8*l + 16
		want := size{flights: 26 * designs, bytes: int64(row.island) + 26*designs*(wide+16) + 4*designs*wide + 65536}
		if err != nil || got != want {
			t.Errorf("population %d, island of %d bytes: %+v, %v, want %+v", row.population, row.island, got, err, want)
		}
	}
	j.Stretch = &Stretch{Mode: sweep.GridMode, From: 100, To: 150, Numbers: []string{"apogee", "drift", "margin"}}
	if got, err := new(flier).size(&j); err != nil || got != (size{flights: 50, bytes: 50 * (1 + 1 + l + 24)}) {
		t.Errorf("50 rows of 3 numbers: %+v, %v", got, err)
	}
	j.Stretch = &Stretch{Mode: sweep.FrontMode, From: 100, To: 150}
	if got, err := new(flier).size(&j); err != nil || got != (size{flights: 50, bytes: (50+20+1)*(120+26*(m+1)) + 26*l + 1024}) {
		t.Errorf("a tally of 50 designs: %+v, %v", got, err)
	}
	if b.Search.Robust.Draws != 0 {
		t.Fatal("the demo is robust")
	}
}

// A worker's name of a connection is long enough not to be guessed, and neither it
// nor where it wants its replies may reach another.
func TestSaneCalls(t *testing.T) {
	for id, want := range map[string]bool{
		"12345678": true, "1234567": false, strings.Repeat("x", 80): true, strings.Repeat("x", 81): false,
		"1234.678": false, "1234*678": false, "1234>678": false, "1234 678": false, "1234\t678": false,
	} {
		if c := (&call{ID: id}); c.sane() != want {
			t.Errorf("a call of %q: sane %v, want %v", id, !want, want)
		}
	}
	c := &call{ID: "12345678", Name: strings.Repeat("n", 90)}
	if !c.sane() || len(c.Name) != 80 {
		t.Errorf("a name of %d bytes, want it cut to 80", len(c.Name))
	}
	for subject, want := range map[string]bool{
		"_INBOX.12345678.1": true, "_INBOX.12345678": false, "_INBOX.123456789.1": false, "_INBOX.other678.1": false,
		"_INBOX.12345678.*": false, "_INBOX.12345678.>": false, "_INBOX.12345678.a b": false, "ullage.desk": false, "": false,
	} {
		if c.mayReplyTo(subject) != want {
			t.Errorf("a reply to %q: %v, want %v", subject, !want, want)
		}
	}
}
