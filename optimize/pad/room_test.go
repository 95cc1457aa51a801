package pad

import (
	"context"
	"slices"
	"testing"

	"ullage/optimize"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/testdata/briefs"
)

// searched returns the designs that a short search of b finds.
func searched(t *testing.T, b *brief.Brief, flights int) [][]float64 {
	t.Helper()
	p, err := study.Problem(b)
	if err != nil {
		t.Fatal(err)
	}
	found, err := optimize.Evolve(context.Background(), p, optimize.Settings{Seed: 1, Flights: flights}, 2, nil)
	if err != nil || !found.Met {
		t.Fatalf("found %v, %v", found.Met, err)
	}
	var designs [][]float64
	for _, d := range found.Archive {
		designs = append(designs, d.X)
	}
	return designs
}

// TestRoom takes the first GO design of a run in the order of its goals, and
// where the run has none one that is GO all the same.
func TestRoom(t *testing.T) {
	for _, row := range []struct {
		brief   string
		flights int
		own     bool // the run has a GO design
	}{{"lighter-or-stable.toml", 1500, true}, {"bottle.toml", 1500, false}} {
		b := briefs.Demo(t, row.brief)
		designs := searched(t, b, row.flights)
		words, whole := Words(context.Background(), b, designs, 2)
		if own := slices.Contains(words, study.Go); !whole || own != row.own {
			t.Fatalf("%s: words %v, want one that is GO: %v", row.brief, words, row.own)
		}
		caller := study.NewCaller(b)
		for i, x := range designs {
			r, s := b.At(x)
			if c := caller.Call(&r, &s); c.Word != words[i] {
				t.Errorf("%s: design %d is counted as %v, called %v", row.brief, i, words[i], c.Word)
			}
		}
		room, ok := Room(context.Background(), b, designs, 2)
		alone, _ := Room(context.Background(), b, designs, 1)
		if !ok || !slices.Equal(room.X, alone.X) || room.At != alone.At {
			t.Fatalf("%s: %v by two workers, %v by one", row.brief, room, alone)
		}
		r, s := b.At(room.X)
		if c := caller.Call(&r, &s); c.Word != study.Go {
			t.Errorf("%s: design %v with room is %v", row.brief, room.X, c.Word)
		}
		if !row.own {
			if room.At != -1 || room.Flights == 0 {
				t.Errorf("%s: %+v, want a design of a search", row.brief, room)
			}
			continue
		}
		for _, at := range study.Order(study.GoalsOf(b, designs)) {
			if words[at] == study.Go {
				if at != room.At {
					t.Errorf("%s: design %d has room, design %d is nearer to the ideal and GO", row.brief, room.At, at)
				}
				break
			}
		}
	}
}

// Where nothing varies the one design there is has room or has not.
func TestRoomOfOneDesign(t *testing.T) {
	for delay, want := range map[string]bool{"4.4 s": true, "6 s": false} {
		b := briefs.Demo(t, "lighter-or-stable.toml", "recovery.delay="+delay)
		b.Vary = nil
		room, ok := Room(context.Background(), b, [][]float64{{}}, 2)
		if ok != want || ok && (room.At != 0 || room.Flights != 0) {
			t.Errorf("a timer of %s: %+v, %v, want room %v", delay, room, ok, want)
		}
	}
	ended, end := context.WithCancel(context.Background())
	end()
	b := briefs.Demo(t, "lighter-or-stable.toml")
	if room, ok := Room(ended, b, [][]float64{b.Own()}, 2); ok {
		t.Errorf("room %+v although the context had ended", room)
	}
}

// The room of the site counts in the words, as on a card.
func TestWordsOfAField(t *testing.T) {
	for set, want := range map[string]study.Word{"site.field_upwind=400 m": study.Go, "site.field_upwind=5 m": study.NoGo, "site.ceiling=30 m": study.NoGo} {
		b := briefs.Demo(t, "bottle.toml", set)
		words, whole := Words(context.Background(), b, [][]float64{b.Own()}, 2)
		if !whole || words[0] != want || card(b).Word != want {
			t.Errorf("%s: counted as %v, the card says %v, want %v", set, words[0], card(b).Word, want)
		}
	}
	ended, end := context.WithCancel(context.Background())
	end()
	b := briefs.Demo(t, "bottle.toml")
	if _, whole := Words(ended, b, [][]float64{b.Own()}, 2); whole {
		t.Error("words are whole although the context had ended")
	}
}
