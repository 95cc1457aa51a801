package outside_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"

	"ullage/output/notebook"
	"ullage/testdata/browser"
	"ullage/testdata/python"
)

// A cellReport is what testdata/python/run_notebook.py tells of a code cell.
type cellReport struct {
	Kinds    []string
	Text     string
	Pictures []string // HTML
	Error    string
}

// A notebookCase is a run and what its notebook shows.
type notebookCase struct {
	name, brief string
	book        string   // its name
	args        []string // what makes the run, of the brief
	edit        []string // texts of the brief, each before what replaces it
	code        int
	pictures    int
	shows       []string // in some picture or text
}

var notebookCases = []notebookCase{
	{
		name: "demo", brief: "field-day", book: notebook.FrontName, pictures: 9,
		edit: []string{"flights = 60000", "flights = 8000"},
		shows: []string{
			"What does payload mass cost in apogee?", "Which limits hold the designs back?", "How much water for which mass?",
			"Which throat spares the payload?", "at most 20 gn", "at least 18 m/s", "Is it stable from the guide to the end of thrust?",
			"at least 1.2 cal", "How far may the timer be off?", "Where do the designs come down", "at most 70 m", "How near are its limits?",
			"acceleration at most 20 gn", "Where does it come down under scatter?", "How does it fly?",
			"Does the front still grow?", "payload mass, g", "fins span, mm", "'apogee_m': 'm'",
		},
	},
	{
		name: "one goal, other quantities", brief: "bottle", book: notebook.FrontName, pictures: 4,
		edit: []string{"flights = 8000", "flights = 3000"},
		shows: []string{
			"apogee is the only goal", "Not drawn: no design is at a limit", "Not drawn: the front is a single design", "Not drawn: nothing changed after the first barrier.",
			"Not drawn: this run has or varies no chamber_throat_m", "How far may the timer be off?", "ballast mass, g", "How near are its limits?",
		},
	},
	{
		name: "words", brief: "field-day", book: notebook.FrontName, pictures: 9,
		edit:  []string{"[vary]\n", "[vary]\n\"fins.edges\" = { choices = [\"radiused\", \"faired\"] }\n", "flights = 60000", "flights = 8000"},
		shows: []string{"fins edges", "faired", "one of radiused, faired"},
	},
	{
		name: "a sample of words", brief: "field-day", book: notebook.SweepName, pictures: 3,
		edit:  []string{"[vary]\n", "[vary]\n\"fins.edges\" = { choices = [\"radiused\", \"faired\"] }\n"},
		args:  []string{"sweep", "--draws", "3000"},
		shows: []string{"fins edges", "faired"},
	},
	{
		name: "four goals", brief: "field-day", book: notebook.FrontName, pictures: 8,
		edit:  []string{"margin         = { highest = true, up_to = 2.0 }", "margin = \"highest\"\ndrift = \"lowest\"", "flights = 60000", "flights = 4000", "front = 100", "front = 40"},
		shows: []string{"What does payload mass cost in apogee?", "What does margin cost in drift?", "What does apogee cost in drift?", "How near are its limits?"},
	},
	{
		name: "robust", brief: "bottle", book: notebook.FrontName, pictures: 4,
		edit:  []string{"flights = 8000", "flights = 1600\nrobust = { draws = 20, confidence = 0.8 }\n[scatter]\n\"recovery.delay\" = \"0.1 s\""},
		shows: []string{"apogee is the only goal", "Where does it come down under scatter?", "chance of keeping it, at least"},
	},
	{
		name: "no design meets the limits", brief: "bottle", book: notebook.FrontName, code: 3, pictures: 5,
		edit:  []string{`landing_speed = { at_most = "6 m/s" }`, `landing_speed = { at_most = "1 m/s" }`},
		shows: []string{"No design meets every limit: these are the nearest.", "so no timer setting does", "landing speed at most 1 m/s"},
	},
	{
		name: "a sweep's front", brief: "bottle", book: notebook.FrontName, args: []string{"sweep", "--grid", "--front-only"}, pictures: 3,
		shows: []string{"this run kept no trajectories", "How far may the timer be off?", "this run kept no history", "Where do the designs come down", "How near are its limits?"},
	},
	{
		name: "a sample", brief: "field-day", book: notebook.SweepName, args: []string{"sweep", "--draws", "9000", "--part", "4000"}, pictures: 3,
		shows: []string{
			"9000 flights in 3 parts", "share of the variance", "What do the limits forbid?", "misses it alone", "Share within every limit", "What forbids most", "What forbids in the area?",
			"Best payload mass, g within every limit", "chamber throat, mm", "guide speed", "at least 18", "proof_bar",
		},
	},
	{
		name: "indices", brief: "field-day", book: notebook.SweepName, args: []string{"sweep", "--indices", "600"}, pictures: 3,
		shows: []string{"share of the variance", "total_low", "What forbids most"},
	},
	{
		name: "a sweep that kept what is feasible", brief: "bottle", book: notebook.SweepName, args: []string{"sweep", "--grid", "--feasible-only"}, pictures: 2,
		shows: []string{"Only these were kept", "Not drawn: only the flights within every limit were kept.", "Flights within every limit", "Best apogee, m within every limit"},
	},
}

// noted makes the run of a case, writes its notebook and returns its path.
func noted(t *testing.T, c *notebookCase) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "a run's folder") // with what paths are mangled by
	makeRun(t, dir, c.brief, c.edit, c.args, c.code)
	ullage(t, 0, "notebook", dir)
	return filepath.Join(dir, c.book)
}

// The notebooks run from top to bottom on any run, draw what the run has, in a
// browser without a network, and some of them do the same in marimo.
func TestNotebookRuns(t *testing.T) {
	t.Parallel()
	for i := range notebookCases {
		c := &notebookCases[i]
		t.Run(c.name, func(t *testing.T) {
			if testing.Short() && c.name != "demo" && c.name != "a sample" {
				t.Skip("-short: it runs two programs and a browser; go test ./... does it")
			}
			t.Parallel()
			book := noted(t, c)
			question := map[string]string{"notebook": book, "folder": filepath.Dir(book)}
			var cells []cellReport
			python.Run(t, "../../../testdata/python/run_notebook.py", question, &cells)
			page, all, pictures := shownBy(t, cells)
			if pictures != c.pictures {
				t.Errorf("%d pictures, want %d", pictures, c.pictures)
			}
			// As JupyterLab does, all of them stand in one page.
			file := filepath.Join(t.TempDir(), "pictures.html")
			if err := os.WriteFile(file, []byte(page), 0o666); err != nil {
				t.Fatal(err)
			}
			b := browser.Open(t, file)
			b.Place(1280, "light", "")
			b.Holds("every picture is drawn", fmt.Sprintf(`(async () => {
				const drawn = () => document.querySelectorAll("div[id^=picture-] svg.marks").length;
				for (let i = 0; i < 300 && drawn() < %[1]d; i++) await new Promise(done => setTimeout(done, 100));
				return drawn() === %[1]d;
			})()`, pictures))
			all += browser.Ask[string](b, `[...document.querySelectorAll("svg.marks text")].map(e => e.textContent).join("\n")`) + page[strings.LastIndex(page, "vegaEmbed("):]
			for _, want := range c.shows {
				if !strings.Contains(all, want) && !strings.Contains(page, want) {
					t.Errorf("nothing shows %q", want)
				}
			}
			if _, away, faults := b.Went(); len(away) > 0 || len(faults) > 0 {
				t.Errorf("requests %q, faults %q, want none", away, faults)
			}
			b.Look("notebook-" + c.name)
			if c.name == "demo" {
				pictureAnswers(b)
			}
			if c.name != "demo" && c.name != "a sample" && c.code == 0 { // the others differ in what Jupyter has shown
				return
			}
			var other struct {
				Pictures int
				Texts    []string
			}
			python.Run(t, "../../../testdata/python/run_marimo.py", question, &other)
			if other.Pictures != pictures {
				t.Errorf("marimo draws %d pictures, want %d; it says %q", other.Pictures, pictures, other.Texts)
			}
		})
	}
}

// shownBy returns a page of all pictures of a notebook's cells, their text, and how many
// pictures there are. No cell may have failed or complained.
func shownBy(t *testing.T, cells []cellReport) (page, all string, pictures int) {
	t.Helper()
	page = "<!doctype html><meta charset=utf-8><title>notebook</title>"
	for i, cell := range cells {
		if cell.Error != "" {
			t.Errorf("code cell %d: %s", i+1, cell.Error)
		}
		if slices.Contains(cell.Kinds, "stderr") {
			t.Errorf("code cell %d complains: %s", i+1, cell.Text)
		}
		pictures += len(cell.Pictures)
		all += cell.Text
		page += strings.Join(cell.Pictures, "\n")
	}
	return page, all, pictures
}

// pictureAnswers holds that the mouse is told what a dot is, and that a click on one
// chooses its design in the pictures beside it.
func pictureAnswers(b *browser.Page) {
	b.T.Helper()
	// The group of the pictures that belong together, and in it a dot that is not the chosen one.
	const group = `[...document.querySelectorAll("div[id^=picture-]")].find(e => e.textContent.includes("Which design?"))`
	const said = `document.getElementById("vg-tooltip-element")?.innerText ?? ""`
	browser.Ask[string](b, group+`.id = "holds"`)
	at := b.Point("#holds", `(dots => {
		const dot = dots.find(d => d.getAttribute("fill") === "#0072b2").getBoundingClientRect();
		return [dot.left + dot.width / 2 - r.left, dot.top + dot.height / 2 - r.top];
	})([...e.querySelectorAll(".mark-symbol path")])`)
	b.Do(chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, at[0], at[1]))
	b.Holds("a dot tells its design and goals", `(async () => {
		for (let i = 0; i < 50 && !(`+said+`).includes("design"); i++) await new Promise(done => setTimeout(done, 100));
		return ["design", "payload mass, g", "apogee, m"].every(word => (`+said+`).includes(word));
	})()`)
	const others = `[...document.querySelectorAll("#holds .mark-rect path, #holds .mark-line path")].map(e => e.getAttribute("d")).join()`
	before := browser.Ask[string](b, others)
	b.Do(chromedp.MouseClickXY(at[0], at[1]))
	b.Holds("a click shows another design's limits and flight", fmt.Sprintf(`(async () => {
		for (let i = 0; i < 50 && %[1]s === %[2]q; i++) await new Promise(done => setTimeout(done, 100));
		return %[1]s !== %[2]q;
	})()`, others, before))
}

// makeRun searches a demo brief, edited, or does with it what args say, and
// writes the run to dir.
func makeRun(t *testing.T, dir, name string, edit, args []string, code int) {
	t.Helper()
	src, err := os.ReadFile("../../../testdata/briefs/" + name + ".toml")
	if err != nil {
		t.Fatal(err)
	}
	for i := 0; i < len(edit); i += 2 {
		if !bytes.Contains(src, []byte(edit[i])) {
			t.Fatalf("%s.toml has no %q", name, edit[i])
		}
		src = bytes.Replace(src, []byte(edit[i]), []byte(edit[i+1]), 1)
	}
	path := filepath.Join(t.TempDir(), name+".toml")
	if err := os.WriteFile(path, src, 0o666); err != nil {
		t.Fatal(err)
	}
	if args == nil {
		args = []string{"search"}
	}
	ullage(t, code, slices.Concat(args, []string{path, "-q", "-o", dir})...)
}

// What the notebooks tell people to install is what the tests run them with.
func TestNotebookInstallLine(t *testing.T) {
	pinned, err := os.ReadFile("../../../testdata/python/requirements.txt")
	if err != nil {
		t.Fatal(err)
	}
	for name, book := range books() {
		line := regexp.MustCompile(`pip install ([^"\\]+)`).FindSubmatch(book)
		if line == nil {
			t.Fatalf("%s has no pip install line", name)
		}
		for _, want := range strings.Fields(string(line[1])) {
			if !slices.Contains(strings.Fields(string(pinned)), want) {
				t.Errorf("%s asks for %s, which requirements.txt does not pin", name, want)
			}
		}
	}
}

func books() map[string][]byte {
	return map[string][]byte{notebook.FrontName: notebook.Front, notebook.SweepName: notebook.Sweep}
}

// A notebookCell is one of a notebook as it is kept.
type notebookCell struct {
	ID        string
	Source    []string
	Outputs   []any
	Execution *int `json:"execution_count"`
}

func cellsOf(t *testing.T, name string, book []byte) []notebookCell {
	t.Helper()
	var of struct{ Cells []notebookCell }
	if err := json.Unmarshal(book, &of); err != nil || len(of.Cells) == 0 {
		t.Fatalf("%s: %d cells, %v", name, len(of.Cells), err)
	}
	return of.Cells
}

// A notebook that was run is saved by accident with everything it showed.
func TestNotebookIsSavedWithoutOutputs(t *testing.T) {
	for name, book := range books() {
		for _, cell := range cellsOf(t, name, book) {
			if len(cell.Outputs) > 0 || cell.Execution != nil {
				t.Errorf("%s: %s holds outputs or a count", name, cell.ID)
			}
		}
	}
}

// Labels, units and limits come from the files' metadata by one helper of at most
// 25 lines, which both notebooks have in common, as they have what draws pictures.
func TestNotebookHelper(t *testing.T) {
	shared := map[string]string{}
	for name, book := range books() {
		for _, start := range []string{"def about(", "def alive("} {
			found := 0
			for _, cell := range cellsOf(t, name, book) {
				if source := strings.Join(cell.Source, ""); strings.Contains(source, start) {
					found++
					if was, ok := shared[start]; ok && was != source {
						t.Errorf("%s: the cell of %s differs from that of the other notebook", name, start)
					}
					shared[start] = source
				}
			}
			if found != 1 {
				t.Errorf("%s has %d cells with %s, want 1", name, found, start)
			}
		}
		// Whatever else asks what a field says goes through the helper, but for what it is made of and the lists of columns.
		if n := strings.Count(string(book), ".metadata"); n != 1 {
			t.Errorf("%s reads metadata in %d places, want 1", name, n)
		}
	}
	if lines := strings.Count(shared["def about("], "\n") + 1; lines > 25 {
		t.Errorf("the helper has %d lines, want at most 25", lines)
	}
}
