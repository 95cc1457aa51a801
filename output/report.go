package output

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
)

const reportName = "report.html"

// A Report is what report.html says beyond the files of its run.
type Report struct {
	Layout
	Title    string
	Brief    []byte  // as searched
	Bounds   []Bound // parallel to Limits
	Cautions []string
}

// A Bound is what a limit asks for, in SI. Size: it acts on the size of the
// number, not its sign.
type Bound struct {
	AtLeast, AtMost Value
	Size            bool
}

// The page is one file that asks for nothing else: its policy forbids every
// request, and every script but the two whose hashes it names. Its colours for
// data are those of Okabe and Ito, "Color Universal Design" (2008), which
// people with any of the common colour blindnesses tell apart.
var (
	//go:embed report/page.html
	reportHTML string
	//go:embed report/page.css
	reportCSS string
	//go:embed report/page.js
	reportJS string
	//go:embed report/echarts.min.js
	chartsJS string

	reportTemplate = template.Must(template.New(reportName).Parse(reportHTML))
)

// Write makes report.html of the run in dir from its other files, and returns
// its path. It takes the folder's lock.
func (p Report) Write(dir string) (string, error) {
	f, err := Lock(dir)
	if err != nil {
		return "", err
	}
	defer f.Close()
	return p.WriteInto(f)
}

// WriteInto makes report.html of a finished folder from its other files, and
// returns its path. run.json does not hold its hash: it may be made anew.
func (p Report) WriteInto(f *Folder) (string, error) {
	path := filepath.Join(f.Dir, reportName)
	page, err := p.page(f.Dir)
	if err != nil {
		return "", err
	}
	return path, WriteFile(path, page)
}

// page returns the bytes of report.html. They depend on nothing but the
// program, the report and the run without its clock.
func (p Report) page(dir string) ([]byte, error) {
	r, err := ReadRun(dir)
	if err != nil {
		return nil, err
	}
	tables := map[string]Table{}
	for _, name := range []string{"front.parquet", "paths.parquet", "history.parquet"} {
		if tables[name], _, err = r.ReadTable(dir, name); err != nil {
			return nil, err
		}
	}
	rows, err := p.rows(tables["front.parquet"])
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", filepath.Join(dir, "front.parquet"), err)
	}
	flights, err := reportFlights(tables["paths.parquet"], gather(rows, func(r Row) Value { return p.find(r, model.Figures[model.GuideSpeed].Key) }))
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", filepath.Join(dir, "paths.parquet"), err)
	}
	history, err := newReportHistory(tables["history.parquet"], r.Hypervolume)
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
func (p Report) readLandings(r Run, dir string, designs int) (*reportLandings, error) {
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

// A reportPage is what the template shows.
type reportPage struct {
	Policy, Title   string
	Style           template.CSS
	Charts, Script  template.JS
	Data            template.JS
	Summary         []string
	Answers         []string
	Pictures        []reportPicture
	Heads           []reportAxis
	Rows            []reportRow
	Common          []string // said of every design
	Note            string   // on the first design
	Landing         string   // of the first design; empty: the run has no landings
	Groups          []reportGroup
	Knee, Robust    bool
	Cautions, Facts []string
	Brief           string
}

// A reportRow is a design in the table.
type reportRow struct {
	Design       int
	Cells        []string
	Words        string
	Knee, Missed bool
}

func (p Report) render(r Run, rows []Row, flights []reportFlight, landings *reportLandings, history reportHistory) ([]byte, error) {
	axes, knee := p.axes(rows), p.knee(rows)
	data := reportData{
		Axes: axes, Goals: len(p.Goals), Table: len(p.tableColumns()), Designs: gather(rows, func(r Row) int { return r.Design }),
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
	page := reportPage{
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
	if err := reportTemplate.Execute(&out, page); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

func (p Report) tableRows(rows []Row, heads []reportAxis, knee int) []reportRow {
	always := everywhere(rows)
	var table []reportRow
	for i, row := range rows {
		table = append(table, reportRow{
			Design: row.Design, Knee: i == knee, Missed: len(p.Missed(row)) > 0,
			Words: plain(strings.Join(p.limitWords(row, always), ", ")),
			Cells: gather(heads, func(a reportAxis) string { return a.Text[i] }),
		})
	}
	return table
}

// common says what holds of all designs.
func common(rows []Row, axes []reportAxis) []string {
	var lines []string
	if always := everywhere(rows); len(always) > 0 {
		lines = append(lines, "at its limit in every design: "+plain(strings.Join(always, ", ")))
	}
	if same := constants(axes); len(same) > 0 {
		lines = append(lines, "the same in every design: "+strings.Join(same, ", "))
	}
	return lines
}

// policy returns a content security policy under which nothing is fetched and
// no script runs but these.
func policy(scripts ...string) string {
	hashes := gather(scripts, func(s string) string {
		sum := sha256.Sum256([]byte(s))
		return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	})
	return "default-src 'none'; script-src " + strings.Join(hashes, " ") +
		"; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'"
}

// prose returns a text with the keys in it as people read them.
func (p Report) prose(text string) string {
	for _, q := range slices.Concat(p.Varied, p.Goals, p.Limits) {
		text = strings.ReplaceAll(text, q.Key, plain(q.Key))
	}
	return text
}

func (p Report) answers(a Answers, knee bool) []string {
	var lines []string
	switch {
	case a.Knee != "" && knee:
		lines = append(lines, "Design 1, the knee: "+a.Knee+".")
	case a.Knee != "":
		lines = append(lines, "Design 1: "+a.Knee+".")
	}
	for _, price := range a.Prices {
		lines = append(lines, "There the limit on "+price.text()+".")
	}
	if len(a.Bands) > 0 {
		lines = append(lines, "Each alone may move so far for 1 % of "+a.Goal+": "+strings.Join(gather(a.Bands, Band.text), "; ")+".")
	}
	if a.Hardest != "" {
		lines = append(lines, strings.ToUpper(a.Hardest[:1])+a.Hardest[1:]+".")
	}
	return gather(lines, p.prose)
}

func (p Report) summary(r Run, rows []Row) []string {
	designs := fmt.Sprintf("%d designs that no other beats in every goal", len(rows))
	switch {
	case len(rows) == 0:
		designs = "No design: nothing could be flown"
	case !p.Feasible(rows):
		designs = fmt.Sprintf("No design meets every limit; the %d nearest", len(rows))
	case len(rows) == 1:
		designs = "One design, that no other beats"
	}
	goals := gather(p.Goals, func(q Quantity) string { return plain(q.Key) + " " + q.Sense })
	lines := []string{designs + ". Goals: " + strings.Join(goals, ", ") + "."}
	if r.State == Interrupted {
		lines = append(lines, "The search was interrupted: this is what it had found.")
	}
	if r.Advice != "" {
		lines = append(lines, "Before searching again: "+r.Advice+".")
	}
	return lines
}

// facts says where the run came from, a line each.
func facts(r Run) []string {
	lines := []string{
		fmt.Sprintf("ullage %s, %s", r.Version, r.words()),
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
