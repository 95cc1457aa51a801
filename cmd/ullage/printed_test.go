package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"ullage/testdata/briefs"
	"ullage/testdata/kept"
)

// askedLines are answers to the questions of new --ask: of a bottle whose volume is
// known, of a tube with a wide tail whose bore is, and of one without canopy.
var askedLines = map[string]string{
	"bottle": "Meadow\n110 mm; 690 mm; 130 mm\n2 L\n300 g\n380 mm\n21,7 mm\n10 bar\n\n3; 110 mm; 60 mm; 110 mm; 3 mm\nbalsa\n55 cm; 3.4 s\n\n",
	"tube":   "\n90 mm; 1.3 m; 200 mm\n87 mm; 690 mm\n0.9 kg\n72 cm\n11 mm\n22 bar\n12 bar\n4; 130 mm; 70 mm; 150 mm; 2 mm\nplywood\n90 cm; 4.2 s\n1.5 m; 4 m/s\n",
	"bare":   "Bare\n75 mm; 500 mm; 100 mm\n1 l\n150 g\n250 mm\n9 mm\n8 bar\n5 bar\n3; 90 mm; 50 mm; 80 mm; 2 mm\nfoam board\nnone\n1 m; 0 m/s\n",
	"never":  "Untested\n110 mm; 690 mm; 130 mm\n2 L\n300 g\n380 mm\n21.7 mm\nnever\n3; 110 mm; 60 mm; 110 mm; 3 mm\nbalsa\n55 cm; 3.4 s\n1 m; 2 m/s\n",
}

// printedLines are commands, in the order in which one needs the files of another.
var printedLines = []string{
	"check tiny.toml", "check tiny.toml --format json", "check field.toml",
	"fly tiny.toml", "fly tiny.toml --format json", "fly field.toml --set fins.span=30mm", "fly tiny.toml --path p.parquet",
	"effects tiny.toml", "scatter scattered.toml --draws 40",
	"keys body", "keys fins.material", "keys span",
	"search tiny.toml -o run", "search run --resume", "search tiny.toml --set payload.mass=100g -o fixed", "search run --set fins.span=100mm -o again",
	"search impossible.toml -o impossible", "search scattered.toml -o robust",
	"card run --design 2 --no-page --format text", "card tiny.toml --no-page --format json", "card run --room --no-page --format text",
	"scatter robust --front --draws 10 -o front.parquet", "effects run --design 3",
	"sweep tiny.toml --draws 300 -o draws --workers 1", "sweep tiny.toml --indices 30 -o indices --workers 1",
	"sweep few.toml --grid -o grid --workers 1", "sweep few.toml --grid --front-only -o front --workers 1", "sweep impossible.toml --draws 50 --part 20 -o none --workers 1",
	"compare run fixed", "compare run --by fins.span", "compare run again -o both.csv", "table run front.csv", "table run no.csv",
	"fit field.toml --observed 'apogee = 70 m ± 4 m' --observed 'flight_time = 21 s ± 0.5 s'",
	"fit field.toml --sighted '40 deg ± 1 deg at 100 m' --flight '1:site.wind=1 m/s' --format json -o fitted",
	"report run", "notebook run", "notebook run", "notebook grid",
	"new like.toml", "new --like field-day -", "new --like run --design 2 found.toml", "check found.toml",
}

// timesOf are what differs from one run of a command to the next.
var timesOf = regexp.MustCompile(`(in|about) [\d.]+ (s|min)\b|[\d ]*\d (a second|free)|"(seconds|flights_per_second)": [\d.e+-]+|\d+ (of \d+ )?flights with \d+ at a time|, about .* free|"(version|cpu|go|started|goamd64|sha256)": "[^"]*"|"[a-z0-9/.-]+": "[0-9a-f]{64}"|SHA-256 [0-9a-f]+|[\d.]+ [kM]?B in `)

// words parts a line at spaces, but for what stands between quotation marks.
func words(line string) (args []string) {
	for i, part := range strings.Split(line, "'") {
		if i%2 == 1 {
			args = append(args, part)
		} else {
			args = append(args, strings.Fields(part)...)
		}
	}
	return args
}

// What commands print, and the briefs that answers make, are what was last read and
// found good.
func TestWhatCommandsPrint(t *testing.T) {
	if !kept.LastDigits(t) {
		return
	}
	tiny, err := os.ReadFile(sweepBrief(t))
	if err != nil {
		t.Fatal(err)
	}
	home, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	scatter := "\n[scatter]\n\"chamber.pressure\" = \"1.5 %\"\n\"site.wind\" = \"0.5 m/s\"\n[scatter.day]\n\"body.drag\" = \"5 %\"\n"
	write(t, "tiny.toml", tiny)
	write(t, "field.toml", briefs.Read(t, briefs.High))
	write(t, "scattered.toml", append(bytes.Replace(tiny, []byte("flights = 240"), []byte("flights = 3000\nrobust = { draws = 20, confidence = 0.8 }"), 1), scatter...))
	write(t, "impossible.toml", bytes.Replace(tiny, []byte(`at_most = "6 m/s"`), []byte(`at_most = "1 m/s"`), 1))
	few := regexp.MustCompile(`step = "[^"]*"`).ReplaceAll(tiny, []byte(`step = "20 mm"`))
	few = bytes.Replace(bytes.Replace(few, []byte(`"16 mm", step = "20 mm"`), []byte(`"16 mm", step = "5 mm"`), 1), []byte(`"240 g", step = "20 mm"`), []byte(`"240 g", step = "100 g"`), 1)
	write(t, "few.toml", few)
	var all strings.Builder
	tell := func(stdin, line string) {
		var out, said bytes.Buffer
		s := streams{in: strings.NewReader(stdin), out: &out, err: &said}
		code := s.report(run(t.Context(), append([]string{"ullage"}, words(line)...), s))
		fmt.Fprintf(&all, "=== ullage %s\n%s", line, timesOf.ReplaceAllString(out.String(), "…"))
		fmt.Fprintf(&all, "--- %d\n%s\n", code, timesOf.ReplaceAllString(said.String(), "…"))
	}
	for _, line := range printedLines {
		tell("", line)
	}
	for _, name := range []string{"bottle", "tube", "bare", "never"} {
		tell(askedLines[name], "new --ask "+filepath.Join(name+".toml"))
		made, err := os.ReadFile(name + ".toml")
		if err != nil {
			t.Fatalf("%v:\n%s", err, all.String()[strings.LastIndex(all.String(), "==="):])
		}
		all.Write(made)
	}
	t.Chdir(home)
	kept.Same(t, "printed.txt", all.String())
}
