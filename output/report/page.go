package report

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"html/template"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"ullage/model"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/file"
	"ullage/output/palette"
	"ullage/output/runs"
	"ullage/output/table"
	"ullage/output/text"
	"ullage/output/wording"
)

// FileName is the report in the folder of a run.
const FileName = "report.html"

// A Page is report.html of a run: what the folder holds and what follows from
// the brief.
type Page struct {
	brief    *brief.Brief
	run      runs.Run
	rows     []study.Row
	doubts   [][]answers.Doubt // of each row; none where the run has none
	flights  []trajectory      // of each row
	landings *touchdowns       // nil: the run has none
	growth   growth
}

// The page is one file that asks for nothing else: its policy forbids every
// request, and every script but those whose hashes it names.
var (
	//go:embed shell.html
	shellHTML string // how every page begins and ends
	//go:embed page.html
	reportHTML string
	//go:embed page.css
	reportCSS string
	//go:embed shared.js
	sharedJS string
	//go:embed page.js
	reportJS string
	//go:embed echarts.min.js
	chartsJS string

	pageTemplate = parsed(FileName, reportHTML)
)

// parsed returns the template of a page, with how every page begins and ends.
func parsed(name, page string) *template.Template {
	return template.Must(template.Must(template.New(name).Parse(shellHTML)).Parse(page))
}

// Of returns the page of a run of b that has just been written.
func Of(b *brief.Brief, r runs.Run, f *output.Found) *Page {
	p := &Page{brief: b, run: r, rows: f.Rows, doubts: f.Doubts, flights: []trajectory{}, growth: newGrowth(f.Records, r.Hypervolume)}
	for i, row := range f.Rows {
		p.flights = append(p.flights, newTrajectory(f.Paths[i], row.Figures[model.GuideSpeed]))
	}
	if f.Landings != nil {
		p.landings = p.touchdowns(f.Landings)
	}
	return p
}

// Read returns the page of a run of b from the files of its folder. It errs
// where one of them is not there, damaged or none of a search.
func Read(b *brief.Brief, r runs.Run, dir string) (*Page, error) {
	p := &Page{brief: b, run: r}
	front, _, err := r.ReadTable(dir, "front.parquet")
	if err != nil {
		return nil, err
	}
	of := func(name string, err error) error { return fmt.Errorf("read %s: %w", filepath.Join(dir, name), err) }
	if p.rows, err = output.Rows(b, front); err != nil {
		return nil, of("front.parquet", err)
	}
	if p.doubts, err = output.Doubts(front); err != nil {
		return nil, of("front.parquet", err)
	}
	p.flights = table.Gather(p.rows, func(study.Row) trajectory { return newTrajectory(nil, math.NaN()) })
	p.growth = newGrowth(nil, r.Hypervolume)
	if r.Sweep == "" { // a sweep's front has neither
		if err := p.readFlights(r, dir); err != nil {
			return nil, err
		}
	}
	const name = "landings.parquet"
	if _, ok := r.Files[name]; !ok { // nothing scatters, or an older build searched
		return p, nil
	}
	found, _, err := r.ReadTable(dir, name)
	if err != nil {
		return nil, err
	}
	landings, err := output.LandingsOf(found, len(p.rows))
	if err != nil {
		return nil, of(name, err)
	}
	p.landings = p.touchdowns(landings)
	return p, nil
}

// readFlights reads what a search keeps of its flights and of its course.
func (p *Page) readFlights(r runs.Run, dir string) error {
	if err := output.EachPath(r, dir, len(p.rows), func(design int, path []model.Sample) {
		p.flights[design-1] = newTrajectory(path, p.rows[design-1].Figures[model.GuideSpeed])
	}); err != nil {
		return err
	}
	history, _, err := r.ReadTable(dir, "history.parquet")
	if err != nil {
		return err
	}
	records, err := output.Records(history)
	if err != nil {
		return fmt.Errorf("read %s: %w", filepath.Join(dir, "history.parquet"), err)
	}
	p.growth = newGrowth(records, r.Hypervolume)
	return nil
}

// Write makes report.html of the folder that the run is in, and returns its path.
// run.json does not hold its hash: it may be made anew. It errs where the file
// cannot be written, or where the template does not fit its data, which is the
// program's own fault.
func (p *Page) Write(f *runs.Folder) (string, error) {
	path := filepath.Join(f.Dir, FileName)
	page, err := p.Render()
	if err != nil {
		return "", err
	}
	return path, file.Write(path, page)
}

// A view is what the template shows.
type view struct {
	Policy, Title   string
	Style           template.CSS
	Charts, Shared  template.JS
	Script          template.JS
	Data            template.JS
	Summary         []string
	Answers         []string
	Pictures        []still
	Heads           []axis
	Rows            []tableRow
	Common          []string      // said of every design
	Note            string        // on the first design
	Side, Plane     template.HTML // of the first design
	Landing         string        // of the first design; empty: the run has no landings
	LandingDoubt    string        // of the same
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

// Render returns the bytes of report.html. They depend on nothing but the program,
// the brief and the run without its clock. It errs only where the template does
// not fit its data, which is the program's own fault.
func (p *Page) Render() ([]byte, error) {
	axes, knee := p.axes(), p.knee()
	data := pageData{
		Axes: axes, Goals: len(p.brief.Goals), Table: len(p.columns()), Designs: table.Gather(p.rows, func(r study.Row) int { return r.Design }),
		Knee: knee, Groups: p.groups(), Notes: make([]string, len(p.rows)), Flights: p.flights, Landings: p.landings, History: p.growth,
		Sides: p.sideViews(), Planes: p.planeViews(),
	}
	for i := range p.rows {
		data.Notes[i] = p.note(&p.rows[i], i == knee)
	}
	encoded, err := json.Marshal(data)
	if err != nil {
		return nil, err
	}
	pictures := p.pictures(axes, knee >= 0)
	if p.landings != nil && len(p.rows) > 0 {
		pictures = append(pictures, landingPicture(*p.landings))
	}
	page := view{
		Policy: policy(chartsJS, sharedJS, reportJS), Title: cmp.Or(text.Plain(p.brief.Title, text.TitleLength), "Water rocket"),
		Style: template.CSS(palette.Style() + reportCSS), Charts: template.JS(chartsJS), Shared: template.JS(sharedJS), Script: template.JS(reportJS), Data: template.JS(encoded),
		Summary: allPlain(p.summary()), Pictures: pictures, Heads: axes[:data.Table], Rows: p.tableRows(axes[:data.Table], knee),
		Groups: data.Groups, Knee: knee >= 0, Robust: p.robust(), Cautions: p.cautions(), Facts: allPlain(facts(p.run)), Brief: string(p.brief.Source),
	}
	if p.run.Answers != nil {
		page.Answers = allPlain(p.answers(p.run.Answers, page.Knee))
	}
	if len(p.rows) > 0 {
		page.Note, page.Side, page.Plane = data.Notes[0], data.Sides[0], data.Planes[0]
		if p.landings != nil {
			page.Landing, page.LandingDoubt = p.landings.Designs[0].Words, p.landings.Designs[0].Doubt
		}
	}
	if len(p.rows) > 1 {
		page.Common = p.common(axes)
	}
	var out bytes.Buffer
	if err := pageTemplate.Execute(&out, page); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// cautions are for the design of the front that holds the most energy.
func (p *Page) cautions() []string {
	designs := table.Gather(p.rows, func(r study.Row) []float64 { return r.X })
	if len(designs) == 0 {
		designs = [][]float64{p.brief.Own()}
	}
	return cautions(p.brief, designs)
}

// cautions are for the one of some designs that holds the most energy.
func cautions(b *brief.Brief, designs [][]float64) []string {
	lines := slices.DeleteFunc(strings.Split(wording.NotJudged(b), "\n"), func(s string) bool { return s == "" })
	lines = append(lines, wording.ProofCautions(b)...)
	most := slices.MaxFunc(designs, func(x, y []float64) int { return cmp.Compare(storedEnergy(b, x), storedEnergy(b, y)) })
	if energy := storedEnergy(b, most); energy > 0 {
		rocket, _ := b.At(most)
		lines = append(lines, wording.Cautions(energy, rocket.Chamber.Pressure, rocket.Chamber.Proof)...)
	}
	return lines
}

// storedEnergy returns what a design holds under pressure, in J, 0 where it cannot
// be built.
func storedEnergy(b *brief.Brief, x []float64) float64 {
	rocket, site := b.At(x)
	statics, ok := model.Weigh(&rocket, &site)
	if !ok {
		return 0
	}
	return statics.StoredEnergy
}

func (p *Page) tableRows(heads []axis, knee int) []tableRow {
	always := output.Everywhere(p.brief, p.rows)
	var designs []tableRow
	for i := range p.rows {
		row := &p.rows[i]
		designs = append(designs, tableRow{
			Design: row.Design, Knee: i == knee, Missed: len(row.Missed(p.brief)) > 0,
			Words: text.Words(strings.Join(wording.LimitWords(p.brief, row, always), ", ")),
			Cells: table.Gather(heads, func(a axis) string { return a.Text[i] }),
		})
	}
	return designs
}

// common says what holds of all designs.
func (p *Page) common(axes []axis) []string {
	var lines []string
	if always := output.Everywhere(p.brief, p.rows); len(always) > 0 {
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
func (p *Page) prose(words string) string {
	var keys []string
	for i := range p.brief.Vary {
		keys = append(keys, p.brief.Vary[i].Key)
	}
	for i := range p.brief.Goals {
		keys = append(keys, p.brief.Goals[i].Key)
	}
	for i := range p.brief.Limits {
		keys = append(keys, p.brief.Limits[i].Metric.Key)
	}
	for _, key := range keys {
		words = strings.ReplaceAll(words, key, text.Words(key))
	}
	return words
}

func (p *Page) answers(a *runs.Answers, knee bool) []string {
	var lines []string
	switch {
	case a.Knee != "" && knee:
		lines = append(lines, "Design 1, the knee: "+a.Knee+".")
	case a.Knee != "":
		lines = append(lines, "Design 1: "+a.Knee+".")
	}
	for _, doubt := range a.Doubts {
		lines = append(lines, "There "+text.Plain(doubt, text.MessageLength)+".")
	}
	for _, price := range wording.Prices(a.Prices) {
		lines = append(lines, "There the limit on "+price+".")
	}
	if bands := wording.Bands(a.Bands); len(bands) > 0 {
		lines = append(lines, "Each alone may move so far within the limits and 1 % of "+a.Goal+": "+strings.Join(bands, "; ")+".")
	}
	if a.Hardest != "" {
		lines = append(lines, strings.ToUpper(a.Hardest[:1])+a.Hardest[1:]+".")
	}
	for _, line := range append(wording.Ends(p.brief, p.rows), wording.HowNear(p.brief, p.rows)...) {
		lines = append(lines, strings.ToUpper(line[:1])+line[1:]+".")
	}
	return table.Gather(lines, p.prose)
}

func (p *Page) summary() []string {
	r, rows := &p.run, p.rows
	designs := fmt.Sprintf("%d designs that no other beats in every goal", len(rows))
	switch {
	case len(rows) == 0:
		designs = "No design: nothing could be flown"
	case !slices.ContainsFunc(rows, func(r study.Row) bool { return r.Kept(p.brief) }):
		designs = fmt.Sprintf("No design meets every limit; the %d nearest", len(rows))
	case len(rows) == 1:
		designs = "One design, that no other beats"
	}
	goals := table.Gather(p.brief.Goals, func(g brief.Goal) string { return text.Words(g.Key) + " " + g.Describe() })
	lines := []string{designs + ". Goals: " + strings.Join(goals, ", ") + "."}
	var class []string
	for i := range p.brief.Limits {
		if l := &p.brief.Limits[i]; l.Class {
			class = append(class, text.Words(l.Metric.Key)+" "+bounds(l))
		}
	}
	if class != nil {
		lines = append(lines, "Class: "+wording.ClassName(p.brief)+". Its limits: "+strings.Join(class, ", ")+".")
	}
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
	}
	if sum, ok := r.Files["front.parquet"]; ok {
		lines = append(lines, fmt.Sprintf("front.parquet SHA-256 %s", sum))
	}
	if len(r.Set) > 0 {
		lines = append(lines, "set instead of the brief's: "+strings.Join(r.Set, ", "))
	}
	if r.From != nil {
		lines = append(lines, fmt.Sprintf("begun with the front of %s, SHA-256 %s", r.From.Run, r.From.Front))
	}
	if r.Proof != nil {
		lines = append(lines, "robust: "+wording.Proved(r.Proof))
	}
	return append(lines, "Charts by Apache ECharts 6.1.0, Apache License 2.0.")
}

// knee returns the index of the knee, or −1 where there is no choice or no
// design that meets the limits.
func (p *Page) knee() int {
	if len(p.rows) < 2 {
		return -1
	}
	return slices.IndexFunc(p.rows, func(r study.Row) bool { return r.Design == 1 && len(r.Missed(p.brief)) == 0 })
}

// allPlain returns lines that name what is in a run's files as they are safe to
// show.
func allPlain(lines []string) []string {
	return table.Gather(lines, func(s string) string { return text.Plain(s, text.MessageLength) })
}
