package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"ullage/output/notebook"
	"ullage/testdata/python"
)

// A cellReport is what testdata/python/run_notebook.py tells of a code cell.
type cellReport struct {
	Kinds    []string
	Text     string
	Pictures []string // SVG
	Error    string
}

// The notebook runs from top to bottom on any run, and draws what the run has.
func TestNotebookRuns(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name, brief string
		args        []string  // what makes the run, of the brief
		edit        [2]string // a text of the brief and what replaces it
		code        int
		pictures    int
		shows       []string // in some picture or text
	}{
		{
			name: "demo", brief: "field-day", pictures: 8,
			shows: []string{
				"What does payload mass cost in apogee?", "Which limits hold the designs back?", "How much water for which mass?",
				"Which throat spares the payload?", "at most 20 gn", "at least 18 m/s", "Is it stable from the guide to the end of thrust?",
				"at least 1.2 cal", "How far may the timer be off?", "Where do the designs come down", "at most 70 m",
				"Does the front still grow?", "payload mass, g", "fins span, mm", "'apogee_m': 'm'",
			},
		},
		{
			name: "one goal, other quantities", brief: "bottle", pictures: 3,
			shows: []string{
				"apogee is the only goal", "Not drawn: no design is at a limit", "Not drawn: the front is a single design",
				"Not drawn: this run has or varies no chamber_throat_m", "How far may the timer be off?", "ballast mass, g",
			},
		},
		{
			name: "words", brief: "field-day", pictures: 8,
			edit:  [2]string{"[vary]\n", "[vary]\n\"fins.edges\" = { choices = [\"radiused\", \"faired\"] }\n"},
			shows: []string{"fins edges", "faired", "one of radiused, faired"},
		},
		{
			name: "no design meets the limits", brief: "bottle", code: exitInfeasible, pictures: 4,
			edit:  [2]string{`landing_speed = { at_most = "6 m/s" }`, `landing_speed = { at_most = "1 m/s" }`},
			shows: []string{"No design meets every limit: these are the nearest.", "so no timer setting does"},
		},
		{
			name: "a sweep's front", brief: "bottle", args: []string{"sweep", "--grid", "--front-only"}, pictures: 2,
			shows: []string{"this run kept no trajectories", "How far may the timer be off?", "this run kept no history", "Where do the designs come down"},
		},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			dir := filepath.Join(t.TempDir(), "a run's folder") // with what paths are mangled by
			makeRun(t, dir, row.brief, row.edit, row.args, row.code)
			var printed bytes.Buffer
			s := streams{out: &printed, err: &printed}
			if code := alone(s, "ullage", "notebook", dir); code != 0 {
				t.Fatalf("notebook: exit code %d\n%s", code, &printed)
			}
			var cells []cellReport
			python.Run(t, "../../testdata/python/run_notebook.py",
				map[string]string{"notebook": filepath.Join(dir, notebook.Name), "folder": dir}, &cells)
			pictures, all := 0, ""
			for i, cell := range cells {
				if cell.Error != "" {
					t.Errorf("code cell %d: %s", i+1, cell.Error)
				}
				if slices.Contains(cell.Kinds, "stderr") {
					t.Errorf("code cell %d complains: %s", i+1, cell.Text)
				}
				pictures += len(cell.Pictures)
				all += cell.Text + strings.Join(cell.Pictures, "")
			}
			if pictures != row.pictures {
				t.Errorf("%d pictures, want %d", pictures, row.pictures)
			}
			for _, want := range row.shows {
				if !strings.Contains(all, want) {
					t.Errorf("nothing shows %q", want)
				}
			}
		})
	}
}

var oneProgram sync.Mutex

// alone runs the program while no other test does, as in a process: the command
// line library shares its flags.
func alone(s streams, args ...string) int {
	oneProgram.Lock()
	defer oneProgram.Unlock()
	return s.report(run(context.Background(), args, s))
}

// makeRun searches a demo brief, edited, or does with it what args say, and
// writes the run to dir.
func makeRun(t *testing.T, dir, name string, edit [2]string, args []string, code int) {
	t.Helper()
	src, err := os.ReadFile("../../testdata/briefs/" + name + ".toml")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(src, []byte(edit[0])) {
		t.Fatalf("%s.toml has no %q", name, edit[0])
	}
	path := filepath.Join(t.TempDir(), name+".toml")
	if err := os.WriteFile(path, bytes.Replace(src, []byte(edit[0]), []byte(edit[1]), 1), 0o666); err != nil {
		t.Fatal(err)
	}
	var printed bytes.Buffer
	s := streams{out: &printed, err: &printed}
	if args == nil {
		args = []string{"search"}
	}
	args = slices.Concat([]string{"ullage"}, args, []string{path, "-q", "-o", dir})
	if got := alone(s, args...); got != code {
		t.Fatalf("%s: exit code %d, want %d\n%s", args, got, code, &printed)
	}
}

// What the notebook tells people to install is what the tests run it with.
func TestNotebookInstallLine(t *testing.T) {
	pinned, err := os.ReadFile("../../testdata/python/requirements.txt")
	if err != nil {
		t.Fatal(err)
	}
	line := regexp.MustCompile(`pip install ([^"\\]+)`).FindSubmatch(notebook.Front)
	if line == nil {
		t.Fatal("the notebook has no pip install line")
	}
	for _, want := range strings.Fields(string(line[1])) {
		if !slices.Contains(strings.Fields(string(pinned)), want) {
			t.Errorf("the notebook asks for %s, which requirements.txt does not pin", want)
		}
	}
}

// A notebook that was run is saved by accident with everything it showed.
func TestNotebookIsSavedWithoutOutputs(t *testing.T) {
	var book struct {
		Cells []struct {
			ID        string
			Outputs   []any
			Execution *int `json:"execution_count"`
		}
	}
	if err := json.Unmarshal(notebook.Front, &book); err != nil {
		t.Fatal(err)
	}
	if len(book.Cells) == 0 {
		t.Fatal("no cells")
	}
	for _, cell := range book.Cells {
		if len(cell.Outputs) > 0 || cell.Execution != nil {
			t.Errorf("%s holds outputs or a count", cell.ID)
		}
	}
}
