package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"ullage/testdata/briefs"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/urfave/cli/v2"
)

// programs are what tests run as processes of their own.
var programs = map[string]func(){"ullage": main}

func TestMain(m *testing.M) { testscript.Main(m, programs) }

// TestScripts runs the program as its users do. Beside rocket.toml, a brief
// without a search, each script finds tiny.toml, the same with a search of 240
// flights, marked.toml, rocket.toml behind a byte order mark, high.toml, the demo brief set for height, and the folder of the demo
// briefs in $BRIEFS.
func TestScripts(t *testing.T) {
	folder, err := filepath.Abs("../../testdata/briefs")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(env *testscript.Env) error {
			rocket, err := os.ReadFile(filepath.Join("testdata", "rocket.toml"))
			if err != nil {
				return err
			}
			search, err := os.ReadFile(filepath.Join("testdata", "search.toml"))
			if err != nil {
				return err
			}
			env.Setenv("BRIEFS", folder)
			return errors.Join(
				os.WriteFile(filepath.Join(env.WorkDir, "rocket.toml"), rocket, 0o666),
				os.WriteFile(filepath.Join(env.WorkDir, "tiny.toml"), append(rocket, search...), 0o666),
				os.WriteFile(filepath.Join(env.WorkDir, "marked.toml"), append([]byte("\xef\xbb\xbf"), rocket...), 0o666),
				os.WriteFile(filepath.Join(env.WorkDir, "high.toml"), briefs.Read(t, briefs.High), 0o666),
			)
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits, "interrupt": interrupt, "jsonhas": jsonHas, "join": join,
		},
	})
}

// exits CODE PROGRAM ARG... runs a program that must end with that code.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE PROGRAM ARG...")
	}
	wantCode(ts, args[0], ts.Exec(args[1], args[2:]...))
}

func wantCode(ts *testscript.TestScript, want string, err error) {
	code := 0
	var exit *exec.ExitError
	if errors.As(err, &exit) {
		code = exit.ExitCode()
	} else {
		ts.Check(err)
	}
	if strconv.Itoa(code) != want {
		ts.Fatalf("exit code %d, want %s", code, want)
	}
}

// interrupt FILE CODE PROGRAM ARG... interrupts a program once FILE exists; it
// must end with that code.
func interrupt(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 3 {
		ts.Fatalf("usage: interrupt FILE CODE PROGRAM ARG...")
	}
	file := ts.MkAbs(args[0])
	c := exec.Command(args[2], args[3:]...)
	c.Dir, c.Stdout, c.Stderr = ts.MkAbs("."), ts.Stdout(), ts.Stderr()
	ts.Check(c.Start())
	// Another process makes the file: there is nothing to wait on but itself.
	for deadline := time.Now().Add(20 * time.Second); ; time.Sleep(5 * time.Millisecond) {
		if _, err := os.Stat(file); err == nil {
			break
		}
		if time.Now().After(deadline) {
			err := c.Process.Kill()
			ts.Fatalf("%s did not appear in 20 s (kill: %v)", file, err)
		}
	}
	ts.Check(c.Process.Signal(os.Interrupt))
	wantCode(ts, args[1], c.Wait())
}

// join FILE PART... writes the parts one behind the other.
func join(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: join FILE PART...")
	}
	text := ""
	for _, part := range args[1:] {
		text += ts.ReadFile(part)
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(text), 0o666))
}

// jsonhas FILE PATH WANT looks a value up. WANT is the value, or the word
// number, text, list or object for any of its kind. With ! and without WANT,
// the path must lead to no value at all.
func jsonHas(ts *testscript.TestScript, neg bool, args []string) {
	if neg && len(args) != 2 || !neg && len(args) != 3 {
		ts.Fatalf("usage: jsonhas FILE PATH WANT, or ! jsonhas FILE PATH")
	}
	var value any
	decoder := json.NewDecoder(strings.NewReader(ts.ReadFile(args[0])))
	decoder.UseNumber()
	ts.Check(decoder.Decode(&value))
	found := true
	for key := range strings.SplitSeq(args[1], ".") {
		// A file name holds a dot: in a path it is written as a slash.
		key = strings.ReplaceAll(key, "/", ".")
		switch v := value.(type) {
		case map[string]any:
			value, found = v[key]
		case []any:
			i, err := strconv.Atoi(key)
			if found = err == nil && i < len(v); found {
				value = v[i]
			}
		default:
			found = false
		}
		if !found {
			break
		}
	}
	switch {
	case found && neg:
		ts.Fatalf("%s is there: %v", args[1], value)
	case !found && !neg:
		ts.Fatalf("%s: no such value", args[1])
	case !neg:
		if kind, text := described(value); args[2] != kind && args[2] != text {
			ts.Fatalf("%s is %s, want %s", args[1], text, args[2])
		}
	}
}

func described(value any) (kind, text string) {
	switch v := value.(type) {
	case json.Number:
		return "number", v.String()
	case string:
		return "text", v
	case map[string]any:
		kind = "object"
	case []any:
		kind = "list"
	}
	data, err := json.Marshal(value)
	if err != nil {
		panic(err) // it has just been decoded
	}
	return kind, string(data)
}

// TestEveryFlagIsScripted keeps a flag from standing in the help untried.
func TestEveryFlagIsScripted(t *testing.T) {
	files, err := filepath.Glob("testdata/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatalf("no scripts: %v", err)
	}
	var scripts bytes.Buffer
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		scripts.Write(data)
	}
	var s streams
	for _, command := range []*cli.Command{s.checkCommand(), s.flyCommand(), s.searchCommand(), s.sweepCommand(), s.scatterCommand(), s.fitCommand(), s.cardCommand(), s.schemaCommand(), s.newCommand(), s.keysCommand()} {
		for _, flag := range command.Flags {
			for _, name := range flag.Names() {
				if !used(scripts.String(), command.Name, name) {
					t.Errorf("ullage %s: no script uses its flag %s", command.Name, name)
				}
			}
		}
	}
}

func used(scripts, command, flag string) bool {
	dashes := "--"
	if len(flag) == 1 {
		dashes = "-"
	}
	for line := range strings.Lines(scripts) {
		_, call, ok := strings.Cut(line, "ullage "+command+" ")
		for word := range strings.FieldsSeq(call) {
			word, _, _ = strings.Cut(word, "=")
			if ok && word == dashes+flag {
				return true
			}
		}
	}
	return false
}

// TestEveryCommandHasAnExample holds that the help of each command shows it at
// work, with flags that it has.
func TestEveryCommandHasAnExample(t *testing.T) {
	for name, lines := range examples {
		var out bytes.Buffer
		if err := run(t.Context(), []string{"ullage", "help", name}, streams{out: &out, err: &out}); err != nil {
			t.Errorf("help %s: %v", name, err)
		}
		for _, line := range lines {
			if !strings.Contains(line, "ullage "+name) || !strings.Contains(out.String(), "  "+line+"\n") {
				t.Errorf("the help of %s lacks %q", name, line)
			}
			for word := range strings.FieldsSeq(line) {
				if strings.HasPrefix(word, "-") && !strings.Contains(out.String(), word+" ") {
					t.Errorf("%s: an example has %s, which is no flag of it", name, word)
				}
			}
		}
	}
	var out bytes.Buffer
	if err := run(t.Context(), []string{"ullage"}, streams{out: &out, err: &out}); err != nil {
		t.Fatal(err)
	}
	_, listed, _ := strings.Cut(out.String(), "COMMANDS:\n")
	listed, _, _ = strings.Cut(listed, "\n\n")
	for line := range strings.Lines(listed) {
		if name := strings.Fields(line)[0]; examples[name] == nil {
			t.Errorf("%s has no example", name)
		}
	}
}
