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
	b, run := h+".toml", h+"run"
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
	for _, line := range [][]string{
		{"search", b, "-o", run, "-q"},
		{"search", b, "-o", run, "-q", "--resume"},
		{"search", run, "-o", h + "json", "-q", "--format", "json"},
		{h},
		{"check"},
		{"check", b, h},
		{"check", "no" + b},
		{"check", "keys.toml"},
		{"check", "broken.toml"},
		{"check", b, "--" + h},
		{"check", b, "--format", h},
		{"check", b, "--set", h},
		{"check", b, "--set", h + "=1"},
		{"check", b, "--set", "fins.span=" + h},
		{"check", b, "--set", "fins.span"},
		{"fly", b, "--path", h},
		{"fly", b, "--path", h + "/" + h + ".parquet"},
		{"search", run, "-q", "-o", run},
		{"search", run, "--resume", "-o", h},
		{"search", run, "--set", h},
		{"search", h},
		{"search", h, "--resume"},
		{"search", b, "--seed", h},
		{"search", b, "--workers", h},
		{"search", b, "--serve", h},
		{"search", b, "--server", h},
		{"search", b, "--server", "nats://" + h},
		{"search", b, "--spool", b},
		{"search", b, "-o", b},
		{"search", b, "--serve", ":0", "--token", h},
		{"search", b, "--serve", ":0", "--tls-cert", h, "--tls-key", h},
		{"search", b, "--server", "nats://x", "--queue", h},
		{"search", b, "--server", "nats://x", "--tls-ca", h},
		{"search", run, "--resume", "--set", h},
		{"search", run, "--resume", "--seed", "77"},
		{"sweep", b, "--draws", "4", "-o", h + "sweep", "-q"},
		{"sweep", b, "--draws", "4", "-o", h + "sweep", "-q", "--resume"},
		{"sweep", b, "--draws", "5", "-o", h + "sweep", "-q", "--resume"},
		{"sweep", b, "--draws", "4", "-o", h + "json", "-q", "--format", "json"},
		{"sweep", b, "--indices", "4", "-o", h + "indices", "-q"},
		{"sweep", b, "--grid", "-o", h + "grid"},
		{"sweep", b, "--draws", h},
		{"sweep", b, "--grid", "--front-only", "-q", "-o", h + "front", "--set", "fins.span=120 mm", "--set", "chamber.throat=9 mm", "--set", "chamber.fill=0.3", "--set", "payload.mass=90 g"},
		{"scatter", run, "--design", h},
		{"scatter", run, "--design", "99"},
		{"scatter", h, "--front"},
		{"scatter", run, "--set", "a"},
		{"effects", run},
		{"effects", run, "--format", "json"},
		{"effects", run, "-o", h},
		{"card", run, "--format", "text"},
		{"card", run, "--format", "json"},
		{"card", run},
		{"card", run, "--design", "99"},
		{"card", b, "--design", "1"},
		{"card", b, "-o", b},
		{"fit", b, h + ".csv", "--altimeter", "pad", "--lag", "0.1 s", "-o", h + "fit"},
		{"fit", b, h + ".csv", "--altimeter", "pad", "--lag", "0.1 s", "-o", h + "fit"},
		{"fit", b, h + ".csv", "--altimeter", "pad", "--lag", "0.1 s", "--format", "json"},
		{"fit", b, h + ".csv"},
		{"fit", b, "no" + h},
		{"fit", b, "header.csv"},
		{"fit", b, "header.csv", "--column", "time=" + h},
		{"fit", b, h + ".csv", "--column", "height=" + h},
		{"fit", b, "header.csv", "--column", "time=1", "--column", "height=2", "--unit", "height=" + h},
		{"fit", b, h + ".csv", "--unit", "height=" + h},
		{"fit", b, h + ".csv", "--altimeter", h},
		{"fit", b, h + ".csv", "--rate", h},
		{"fit", b, h + ".csv", "--lag", h},
		{"fit", b, h + ".csv", "--free", h},
		{"fit", b, h + ".csv", "--fix", h},
		{"fit", b, h + ".csv", "--flight", h},
		{"fit", b, h + ".csv", "--flight", "1:" + h},
		{"fit", b, h + ".csv", "--flight", "1:" + h + "=1"},
		{"fit", b, h + ".csv", "--conditions", "keys.txt"},
		{"fit", b, h + ".csv", "--conditions", "what.txt"},
		{"fit", b, h + ".csv", "--conditions", h},
		{"fit", b, "--observed", h},
		{"fit", b, "--observed", h + " = 1 m ± 1 m"},
		{"fit", b, "--sighted", h},
		{"fit", b, "--sighted", "50 deg ± 1 deg at" + "\u200b\u202e" + " 100 m"},
		{"fit", b, "--observed", "apogee = 125 m ± 6 m" + h},
		{"report", run},
		{"report", h},
		{"notebook", run},
		{"notebook", run},
		{"notebook", h},
		{"worker", h},
		{"worker", "nats://" + h},
		{"worker", "ftp://" + h},
		{"worker", "--replay", h + ".job"},
		{"worker", "--replay", h},
		{"worker", "nats://x", "--token", h},
		{"epoch", "--in", h + ".job"},
		{"epoch", "--in", h},
		{"epoch", h},
		{"schema"},
		{"--version"},
		{"--" + h},
	} {
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
