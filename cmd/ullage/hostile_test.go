package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode"

	"ullage/testdata/briefs"
)

// nasty turns the line round and hides, and may stand in the name of a file.
const nasty = "x\u202e\u200b\u2066\xffy"

// breaking steers a terminal and begins a line of its own; it may stand
// in a brief and in a log, but in no argument.
const breaking = "\x1b]0;y\x07\u009b31m\nFORGED"

// A brief with a hostile name, and the folder of a run of it.
const (
	hostileBrief = nasty + ".toml"
	hostileRun   = nasty + "run"
)

// hostileLines are commands with a hostile name, key, value or option each, in the
// order in which one needs the files of another.
var hostileLines = [][]string{
	{"search", hostileBrief, "-o", hostileRun, "-q"},
	{"search", hostileBrief, "-o", hostileRun, "-q", "--resume"},
	{"search", hostileRun, "-o", nasty + "json", "-q", "--format", "json"},
	{nasty},
	{"check"},
	{"check", hostileBrief, nasty},
	{"check", "no" + hostileBrief},
	{"check", "keys.toml"},
	{"check", "broken.toml"},
	{"check", hostileBrief, "--" + nasty},
	{"check", hostileBrief, "--format", nasty},
	{"check", hostileBrief, "--set", nasty},
	{"check", hostileBrief, "--set", nasty + "=1"},
	{"check", hostileBrief, "--set", "fins.span=" + nasty},
	{"check", hostileBrief, "--set", "fins.span"},
	{"fly", hostileBrief, "--path", nasty},
	{"fly", hostileBrief, "--path", nasty + "/" + nasty + ".parquet"},
	{"search", hostileRun, "-q", "-o", hostileRun},
	{"search", hostileRun, "--resume", "-o", nasty},
	{"search", hostileRun, "--set", nasty},
	{"search", nasty},
	{"search", nasty, "--resume"},
	{"search", hostileBrief, "--seed", nasty},
	{"search", hostileBrief, "--workers", nasty},
	{"search", hostileBrief, "--serve", nasty},
	{"search", hostileBrief, "--server", nasty},
	{"search", hostileBrief, "--server", "nats://" + nasty},
	{"search", hostileBrief, "--spool", hostileBrief},
	{"search", hostileBrief, "-o", hostileBrief},
	{"search", hostileBrief, "--serve", ":0", "--token", nasty},
	{"search", hostileBrief, "--serve", ":0", "--tls-cert", nasty, "--tls-key", nasty},
	{"search", hostileBrief, "--server", "nats://x", "--queue", nasty},
	{"search", hostileBrief, "--server", "nats://x", "--tls-ca", nasty},
	{"search", hostileRun, "--resume", "--set", nasty},
	{"search", hostileRun, "--resume", "--seed", "77"},
	{"sweep", hostileBrief, "--draws", "4", "-o", nasty + "sweep", "-q"},
	{"sweep", hostileBrief, "--draws", "4", "-o", nasty + "sweep", "-q", "--resume"},
	{"sweep", hostileBrief, "--draws", "5", "-o", nasty + "sweep", "-q", "--resume"},
	{"sweep", hostileBrief, "--draws", "4", "-o", nasty + "json", "-q", "--format", "json"},
	{"sweep", hostileBrief, "--indices", "4", "-o", nasty + "indices", "-q"},
	{"sweep", hostileBrief, "--grid", "-o", nasty + "grid"},
	{"sweep", hostileBrief, "--draws", nasty},
	{"sweep", hostileBrief, "--grid", "--front-only", "-q", "-o", nasty + "front", "--set", "fins.span=120 mm", "--set", "chamber.throat=9 mm", "--set", "chamber.fill=0.3", "--set", "payload.mass=90 g"},
	{"scatter", hostileRun, "--design", nasty},
	{"scatter", hostileRun, "--design", "99"},
	{"scatter", nasty, "--front"},
	{"scatter", hostileRun, "--set", "a"},
	{"effects", hostileRun},
	{"effects", hostileRun, "--format", "json"},
	{"effects", hostileRun, "-o", nasty},
	{"card", hostileRun, "--format", "text"},
	{"card", hostileRun, "--format", "json"},
	{"card", hostileRun},
	{"card", hostileRun, "--design", "99"},
	{"card", hostileBrief, "--design", "1"},
	{"card", hostileBrief, "-o", hostileBrief},
	{"fit", hostileBrief, nasty + ".csv", "--altimeter", "pad", "--lag", "0.1 s", "-o", nasty + "fit"},
	{"fit", hostileBrief, nasty + ".csv", "--altimeter", "pad", "--lag", "0.1 s", "-o", nasty + "fit"},
	{"fit", hostileBrief, nasty + ".csv", "--altimeter", "pad", "--lag", "0.1 s", "--format", "json"},
	{"fit", hostileBrief, nasty + ".csv"},
	{"fit", hostileBrief, "no" + nasty},
	{"fit", hostileBrief, "header.csv"},
	{"fit", hostileBrief, "header.csv", "--column", "time=" + nasty},
	{"fit", hostileBrief, nasty + ".csv", "--column", "height=" + nasty},
	{"fit", hostileBrief, "header.csv", "--column", "time=1", "--column", "height=2", "--unit", "height=" + nasty},
	{"fit", hostileBrief, nasty + ".csv", "--unit", "height=" + nasty},
	{"fit", hostileBrief, nasty + ".csv", "--altimeter", nasty},
	{"fit", hostileBrief, nasty + ".csv", "--rate", nasty},
	{"fit", hostileBrief, nasty + ".csv", "--lag", nasty},
	{"fit", hostileBrief, nasty + ".csv", "--free", nasty},
	{"fit", hostileBrief, nasty + ".csv", "--fix", nasty},
	{"fit", hostileBrief, nasty + ".csv", "--flight", nasty},
	{"fit", hostileBrief, nasty + ".csv", "--flight", "1:" + nasty},
	{"fit", hostileBrief, nasty + ".csv", "--flight", "1:" + nasty + "=1"},
	{"fit", hostileBrief, nasty + ".csv", "--conditions", "keys.txt"},
	{"fit", hostileBrief, nasty + ".csv", "--conditions", "what.txt"},
	{"fit", hostileBrief, nasty + ".csv", "--conditions", nasty},
	{"fit", hostileBrief, "--observed", nasty},
	{"fit", hostileBrief, "--observed", nasty + " = 1 m ± 1 m"},
	{"fit", hostileBrief, "--sighted", nasty},
	{"fit", hostileBrief, "--sighted", "50 deg ± 1 deg at" + "\u200b\u202e" + " 100 m"},
	{"fit", hostileBrief, "--observed", "apogee = 125 m ± 6 m" + nasty},
	{"report", hostileRun},
	{"report", nasty},
	{"notebook", hostileRun},
	{"notebook", hostileRun},
	{"notebook", nasty},
	{"worker", nasty},
	{"worker", "nats://" + nasty},
	{"worker", "ftp://" + nasty},
	{"worker", "--replay", nasty + ".job"},
	{"worker", "--replay", nasty},
	{"worker", "nats://x", "--token", nasty},
	{"epoch", "--in", nasty + ".job"},
	{"epoch", "--in", nasty},
	{"epoch", nasty},
	{"schema"},
	{"--version"},
	{"--" + nasty},
}

// TestHostileNames drives every command with names, keys, values and options
// that are hostile: what it prints cannot steer a terminal and has no line of
// theirs.
func TestHostileNames(t *testing.T) {
	logs, err := filepath.Abs("../../testdata/logs")
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	h := nasty
	const quoted = `x\u202e\u200b\u2066\u001b]0;y\u0007\u009b31m\nFORGED`
	src := briefs.Edited(t, briefs.High, `title = "Four`, `title = "`+quoted+`Four`, `name = "pressure chamber"`, `name = "`+quoted+`"`,
		"flights = 60000", "flights = 80", "front = 100", "front = 2", "islands = 4", "islands = 1")
	log, err := os.ReadFile(filepath.Join(logs, "field-day.csv"))
	if err != nil {
		t.Fatal(err)
	}
	for name, data := range map[string][]byte{
		h + ".toml": src, h + ".csv": log, "keys.toml": append(slices.Clone(src), "\n[\""+quoted+"\"]\n\"a"+quoted+"\" = \""+quoted+"\"\n"...),
		"broken.toml": []byte(breaking), "header.csv": []byte(breaking + ",b\n1,2\n" + h + ",3\n\"" + breaking + "\",4\n"), "keys.txt": []byte("a" + h + "\x1b\u009b = 1\n"),
		"what.txt": []byte(breaking), h + ".job": []byte(breaking),
	} {
		if err := os.WriteFile(name, data, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	b := hostileBrief
	for _, c := range []struct {
		code int
		args []string
	}{
		{0, []string{"check", b}},
		{0, []string{"fly", b, "--path", h + ".parquet"}},
		{0, []string{"effects", b, "-o", h + ".arrow"}},
		{0, []string{"scatter", b, "--draws", "20", "-o", h + ".arrow"}},
		{3, []string{"card", b, "-o", h + "card"}},
		{3, []string{"card", b}},
	} {
		for _, format := range []string{"", "text", "json"} {
			args := c.args
			if format != "" {
				args = append(slices.Clone(args), "--format", format)
			}
			if code := printsPlainly(t, args); code != c.code {
				t.Errorf("%q: code %d, want %d", args, code, c.code)
			}
		}
	}
	if code := printsPlainly(t, []string{"check", "a" + breaking}); code != exitUsage {
		t.Errorf("an argument with breaks: code %d, want %d", code, exitUsage)
	}
	for _, line := range hostileLines {
		printsPlainly(t, line)
	}
}

func asJSON(t *testing.T, v any) string {
	t.Helper()
	data, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// printsPlainly runs a command, holds what it prints against what may be
// printed and returns the exit code.
func printsPlainly(t *testing.T, args []string) int {
	t.Helper()
	var out, said bytes.Buffer
	s := streams{in: strings.NewReader(breaking), out: &out, err: &said}
	ctx, stop := context.WithTimeout(t.Context(), 3*time.Second) // of a worker whose server never comes
	defer stop()
	code := s.report(run(ctx, append([]string{"ullage"}, args...), s))
	for _, text := range []string{out.String(), said.String()} {
		for line := range strings.Lines(text) {
			if strings.HasPrefix(strings.TrimSpace(line), "FORGED") {
				t.Errorf("%q: a line of its own: %q", args, line)
			}
			if i := strings.IndexFunc(strings.TrimSuffix(line, "\n"), steers); i >= 0 {
				t.Errorf("%q: %q in %.300q", args, line[i:min(i+6, len(line))], line)
			}
		}
	}
	if slices.Contains(args, "json") && out.Len() > 0 && !json.Valid(out.Bytes()) {
		t.Errorf("%q: no JSON: %.300q", args, &out)
	}
	return code
}

// steers reports what no text on a terminal may hold.
func steers(r rune) bool {
	return unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp)
}
