package report

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"html/template"
	"path/filepath"
	"slices"
	"strings"

	"ullage/model"
	"ullage/output"
	"ullage/output/file"
	"ullage/output/runs"
	"ullage/output/table"
	"ullage/output/text"
)

const fileName = "report.html"

// A Page is what report.html says beyond the files of its run.
type Page struct {
	output.Layout
	Title    string
	Brief    []byte  // as searched
	Bounds   []Bound // parallel to Limits
	Cautions []string
}

// A Bound is what a limit asks for, in SI. Size: it acts on the size of the
// number, not its sign.
type Bound struct {
	AtLeast, AtMost table.Value
	Size            bool
}

// The page is one file that asks for nothing else: its policy forbids every
// request, and every script but the two whose hashes it names. Its colours for
// data are those of Okabe and Ito, "Color Universal Design" (2008), which
// people with any of the common colour blindnesses tell apart.
var (
	//go:embed page.html
	reportHTML string
	//go:embed page.css
	reportCSS string
	//go:embed page.js
	reportJS string
	//go:embed echarts.min.js
	chartsJS string

	pageTemplate = template.Must(template.New(fileName).Parse(reportHTML))
)

// Write makes report.html of the run in dir from its other files, and returns
// its path. It takes the folder's lock.
func (p Page) Write(dir string) (string, error) {
	f, err := runs.Lock(dir)
	if err != nil {
		return "", err
	}
	defer f.Close()
	return p.WriteInto(f)
}

// WriteInto makes report.html of a finished folder from its other files, and
// returns its path. run.json does not hold its hash: it may be made anew.
func (p Page) WriteInto(f *runs.Folder) (string, error) {
	path := filepath.Join(f.Dir, fileName)
	page, err := p.page(f.Dir)
	if err != nil {
		return "", err
	}
	return path, file.Write(path, page)
}

// page returns the bytes of report.html. They depend on nothing but the
// program, the report and the run without its clock.
func (p Page) page(dir string) ([]byte, error) {
	r, err := runs.Read(dir)
	if err != nil {
		return nil, err
	}
	tables := map[string]table.Table{}
	for _, name := range []string{"front.parquet", "paths.parquet", "history.parquet"} {
		if tables[name], _, err = r.ReadTable(dir, name); err != nil {
			return nil, err
		}
	}
	rows, err := p.Rows(tables["front.parquet"])
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", filepath.Join(dir, "front.parquet"), err)
	}
	flights, err := trajectories(tables["paths.parquet"], table.Gather(rows, func(r output.Row) table.Value { return p.Find(r, model.Figures[model.GuideSpeed].Key) }))
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", filepath.Join(dir, "paths.parquet"), err)
	}
	history, err := newGrowth(tables["history.parquet"], r.Hypervolume)
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", filepath.Join(dir, "history.parquet"), err)
	}
	landings, err := p.readLandings(r, dir, len(rows))
	if err != nil {
		return nil, err
	}
	return p.render(r, rows, flights, landings, history)
}

// readLandings returns nil where the run has none: nothing scatters, or an
// older build searched.
func (p Page) readLandings(r runs.Run, dir string, designs int) (*touchdowns, error) {
	const name = "landings.parquet"
	if _, ok := r.Files[name]; !ok {
		return nil, nil
	}
	t, _, err := r.ReadTable(dir, name)
	if err != nil {
		return nil, err
	}
	landings, err := p.landings(t, designs)
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", filepath.Join(dir, name), err)
	}
	return landings, nil
}

// A view is what the template shows.
type view struct {
	Policy, Title   string
	Style           template.CSS
	Charts, Script  template.JS
	Data            template.JS
	Summary         []string
	Answers         []string
	Pictures        []still
	Heads           []axis
	Rows            []tableRow
	Common          []string // said of every design
	Note            string   // on the first design
	Landing         string   // of the first design; empty: the run has no landings
	Groups          []group
	Knee, Robust    bool
	Cautions, Facts []string
	Brief           string
}

// A tableRow is a design in the table.
type tableRow struct {
	Design       int
	Cells        []string
	Words        string
	Knee, Missed bool
}

func (p Page) render(r runs.Run, rows []output.Row, flights []trajectory, landings *touchdowns, history growth) ([]byte, error) {
	axes, knee := p.axes(rows), p.knee(rows)
	data := pageData{
		Axes: axes, Goals: len(p.Goals), Table: len(p.tableColumns()), Designs: table.Gather(rows, func(r output.Row) int { return r.Design }),
		Knee: knee, Groups: p.groups(rows), Notes: make([]string, len(rows)), Flights: flights, Landings: landings, History: history,
	}
	for i, r := range rows {
		data.Notes[i] = p.note(r, i == knee)
	}
	encoded, err := json.Marshal(data)
	if err != nil {
		return nil, err
	}
	pictures, err := pictures(p, axes, knee >= 0, flights)
	if err != nil {
		return nil, err
	}
	if landings != nil && len(rows) > 0 {
		picture, err := landingPicture(*landings)
		if err != nil {
			return nil, err
		}
		pictures = append(pictures, picture)
	}
	page := view{
		Policy: policy(chartsJS, reportJS), Title: p.Title,
		Style: template.CSS(reportCSS), Charts: template.JS(chartsJS), Script: template.JS(reportJS), Data: template.JS(encoded),
		Summary: p.summary(r, rows), Pictures: pictures, Heads: axes[:data.Table], Rows: p.tableRows(rows, axes[:data.Table], knee),
		Groups: data.Groups, Knee: knee >= 0, Robust: p.Confidence > 0, Cautions: p.Cautions, Facts: facts(r), Brief: string(p.Brief),
	}
	if r.Answers != nil {
		page.Answers = p.answers(*r.Answers, page.Knee)
	}
	if len(rows) > 0 {
		page.Note = data.Notes[0]
		if landings != nil {
			page.Landing = landings.Designs[0].Words
		}
	}
	if len(rows) > 1 {
		page.Common = common(rows, axes)
	}
	var out bytes.Buffer
	if err := pageTemplate.Execute(&out, page); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

func (p Page) tableRows(rows []output.Row, heads []axis, knee int) []tableRow {
	always := output.Everywhere(rows)
	var designs []tableRow
	for i, row := range rows {
		designs = append(designs, tableRow{
			Design: row.Design, Knee: i == knee, Missed: len(p.Missed(row)) > 0,
			Words: text.Words(strings.Join(text.LimitWords(p.Layout, row, always), ", ")),
			Cells: table.Gather(heads, func(a axis) string { return a.Text[i] }),
		})
	}
	return designs
}

// common says what holds of all designs.
func common(rows []output.Row, axes []axis) []string {
	var lines []string
	if always := output.Everywhere(rows); len(always) > 0 {
		lines = append(lines, "at its limit in every design: "+text.Words(strings.Join(always, ", ")))
	}
	if same := constants(axes); len(same) > 0 {
		lines = append(lines, "the same in every design: "+strings.Join(same, ", "))
	}
	return lines
}

// policy returns a content security policy under which nothing is fetched and
// no script runs but these.
func policy(scripts ...string) string {
	hashes := table.Gather(scripts, func(s string) string {
		sum := sha256.Sum256([]byte(s))
		return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	})
	return "default-src 'none'; script-src " + strings.Join(hashes, " ") +
		"; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'"
}

// prose returns a text with the keys in it as people read them.
func (p Page) prose(words string) string {
	for _, q := range slices.Concat(p.Varied, p.Goals, p.Limits) {
		words = strings.ReplaceAll(words, q.Key, text.Words(q.Key))
	}
	return words
}

func (p Page) answers(a runs.Answers, knee bool) []string {
	var lines []string
	switch {
	case a.Knee != "" && knee:
		lines = append(lines, "Design 1, the knee: "+a.Knee+".")
	case a.Knee != "":
		lines = append(lines, "Design 1: "+a.Knee+".")
	}
	for _, price := range a.Prices {
		lines = append(lines, "There the limit on "+text.Price(price)+".")
	}
	if len(a.Bands) > 0 {
		lines = append(lines, "Each alone may move so far for 1 % of "+a.Goal+": "+strings.Join(table.Gather(a.Bands, text.Band), "; ")+".")
	}
	if a.Hardest != "" {
		lines = append(lines, strings.ToUpper(a.Hardest[:1])+a.Hardest[1:]+".")
	}
	return table.Gather(lines, p.prose)
}

func (p Page) summary(r runs.Run, rows []output.Row) []string {
	designs := fmt.Sprintf("%d designs that no other beats in every goal", len(rows))
	switch {
	case len(rows) == 0:
		designs = "No design: nothing could be flown"
	case !p.Feasible(rows):
		designs = fmt.Sprintf("No design meets every limit; the %d nearest", len(rows))
	case len(rows) == 1:
		designs = "One design, that no other beats"
	}
	goals := table.Gather(p.Goals, func(q table.Quantity) string { return text.Words(q.Key) + " " + q.Sense })
	lines := []string{designs + ". Goals: " + strings.Join(goals, ", ") + "."}
	if r.State == runs.Interrupted {
		lines = append(lines, "The search was interrupted: this is what it had found.")
	}
	if r.Advice != "" {
		lines = append(lines, "Before searching again: "+r.Advice+".")
	}
	return lines
}

// facts says where the run came from, a line each.
func facts(r runs.Run) []string {
	lines := []string{
		fmt.Sprintf("ullage %s, %s", r.Version, r.Words()),
		fmt.Sprintf("brief SHA-256 %s", r.Brief),
		fmt.Sprintf("seed %d", r.Seed),
		fmt.Sprintf("%s (%s): %d flights, %d of them within every limit, %d could not be computed", r.State, r.Stop, r.Flights, r.Feasible, r.Failed),
		fmt.Sprintf("front.parquet SHA-256 %s", r.Files["front.parquet"]),
	}
	if len(r.Set) > 0 {
		lines = append(lines, "set instead of the brief's: "+strings.Join(r.Set, ", "))
	}
	if r.From != nil {
		lines = append(lines, fmt.Sprintf("begun with the front of %s, SHA-256 %s", r.From.Run, r.From.Front))
	}
	if r.Proof != nil {
		lines = append(lines, fmt.Sprintf("robust: each limit is to hold with a chance of %g; %d designs were proved with %d flights each, %d of them dropped",
			r.Proof.Confidence, r.Proof.Checked, r.Proof.Draws, r.Proof.Dropped))
	}
	return append(lines, "Charts by Apache ECharts 6.1.0, Apache License 2.0; still pictures by gonum/plot.")
}

// knee returns the index of the knee, or −1 where there is no choice or no
// design that meets the limits.
func (p Page) knee(rows []output.Row) int {
	if len(rows) < 2 {
		return -1
	}
	return slices.IndexFunc(rows, func(r output.Row) bool { return r.Knee && len(p.Missed(r)) == 0 })
}
