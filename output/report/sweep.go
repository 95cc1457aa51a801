package report

import (
	"bytes"
	"cmp"
	"context"
	_ "embed"
	"encoding/json"
	"fmt"
	"html/template"
	"path/filepath"
	"slices"

	"ullage/optimize/brief"
	"ullage/optimize/sweep"
	"ullage/output"
	"ullage/output/palette"
	"ullage/output/runs"
	"ullage/output/table"
	"ullage/output/text"
)

var (
	//go:embed sweep.html
	sweepHTML string
	//go:embed sweep.js
	sweepJS string

	sweepTemplate = parsed("sweep.html", sweepHTML)
)

// A SweepPage is report.html of a sweep that kept flights.
type SweepPage struct {
	brief   *brief.Brief
	run     runs.Run
	census  *census
	indices []output.IndexRow // nil: none were computed
}

// ReadSweep returns the page of a sweep of b from the files of its folder, whose
// flights it reads some at a time. It errs where one of them is not there, damaged
// or none of a sweep with flights, and where ctx ends.
func ReadSweep(ctx context.Context, b *brief.Brief, r runs.Run, dir string) (*SweepPage, error) {
	p := &SweepPage{brief: b, run: r}
	var err error
	if p.census, err = newCensus(b); err != nil {
		return nil, err
	}
	if err := p.census.read(ctx, r, dir); err != nil {
		return nil, err
	}
	const name = "indices.parquet"
	if _, ok := r.Files[name]; !ok {
		return p, nil
	}
	t, _, err := r.ReadTable(dir, name)
	if err != nil {
		return nil, err
	}
	if p.indices, err = output.IndexRows(t); err != nil {
		return nil, fmt.Errorf("read %s: %w", filepath.Join(dir, name), err)
	}
	return p, nil
}

// A sweepView is what the template shows.
type sweepView struct {
	Policy, Title          string
	Style                  template.CSS
	Charts, Shared, Script template.JS
	Data                   template.JS
	Summary, Cautions      []string
	Driven                 []driven
	Indices, FeasibleOnly  bool
	Forbidden              []forbidden
	Quantities             []bins // to choose from
	Stills                 []still
	Singles                []single
	Goals                  []axis
	Facts                  []string
	Brief                  string
}

// A forbidden is what one reason forbids.
type forbidden struct {
	Letter, Name, Missed, Alone, Lifted string
	Default                             string
	alone, missed                       int64
}

// A single is what holds over one quantity.
type single struct {
	Name, Unit string
	Rows       []singleRow
}

type singleRow struct {
	Words, Share, Hardest string
	Best                  []string
}

// sweepData is what the page's script reads.
type sweepData struct {
	Axes         []bins   `json:"axes"`
	Planes       []plane  `json:"planes"`
	First        int      `json:"first"` // of the planes
	Reasons      []string `json:"reasons"`
	Goals        []axis   `json:"goals"`
	FeasibleOnly bool     `json:"feasibleOnly"`
}

// Render returns the bytes of report.html of a sweep. They depend on nothing but
// the program, the brief and the run without its clock. It errs only where the
// template does not fit its data, which is the program's own fault.
func (p *SweepPage) Render() ([]byte, error) {
	c := p.census
	goals := p.goals()
	pairs := slices.Clone(c.pairs())
	order := p.telling(pairs)
	page := sweepView{
		Policy: policy(chartsJS, sharedJS, sweepJS), Title: cmp.Or(text.Plain(p.brief.Title, text.TitleLength), "Water rocket"),
		Style: template.CSS(palette.Style() + reportCSS), Charts: template.JS(chartsJS), Shared: template.JS(sharedJS), Script: template.JS(sweepJS),
		Summary: allPlain(p.summary()), Indices: p.indices != nil, FeasibleOnly: p.run.FeasibleOnly, Forbidden: p.forbidden(),
		Singles: p.singles(), Goals: goals, Facts: allPlain(facts(p.run)), Brief: string(p.brief.Source),
		Cautions: cautions(p.brief, [][]float64{p.strongest()}),
	}
	if page.Driven = p.ofIndices(p.indices); p.indices == nil {
		page.Driven = p.ofRows()
	}
	data := sweepData{Axes: c.bins, Planes: pairs, Reasons: reasonsOf(p.brief), Goals: goals, FeasibleOnly: p.run.FeasibleOnly}
	if len(pairs) > 0 {
		page.Quantities, data.First = c.bins, order[0]
	}
	for _, at := range order[:min(3, len(order))] {
		page.Stills = append(page.Stills, p.stills(&pairs[at])...)
	}
	for i := range pairs {
		pairs[i] = p.inShownUnits(pairs[i])
	}
	encoded, err := json.Marshal(data)
	if err != nil {
		return nil, err
	}
	page.Data = template.JS(encoded)
	var out bytes.Buffer
	if err := sweepTemplate.Execute(&out, page); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// telling orders planes: first the one over which the share within every limit
// differs most.
func (p *SweepPage) telling(planes []plane) []int {
	order := make([]int, len(planes))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(planes[b].contrast(), planes[a].contrast()) })
	return order
}

// goals returns the goals as axes without values.
func (p *SweepPage) goals() []axis {
	return table.Gather(p.brief.Goals, func(g brief.Goal) axis {
		return axis{Name: text.Words(g.Key), Unit: text.Show(g.Key, g.Unit).Unit, Sense: g.Describe()}
	})
}

func (p *SweepPage) inShownUnits(of plane) plane {
	of.Best = slices.Clone(of.Best)
	for g := range of.Best {
		s := text.Show(p.brief.Goals[g].Key, p.brief.Goals[g].Unit)
		of.Best[g] = table.Gather(of.Best[g], func(v table.Number) table.Number { return table.Number(digits(float64(v)*s.Scale + s.Offset)) })
	}
	return of
}

func (p *SweepPage) summary() []string {
	c, r := p.census, &p.run
	how := map[string]string{
		sweep.GridMode: "every combination of the steps", sweep.DrawsMode: "designs spread evenly over the ranges", sweep.IndicesMode: "the designs of a sample for indices",
	}[r.Sweep]
	flown := int64(r.Flights)
	lines := []string{fmt.Sprintf("%d flights, %s: %s of them are within every limit. A design is flown once, as it is set, without scatter.", flown, how, percent(float64(c.kept)/float64(max(flown, 1))))}
	if r.State == runs.Interrupted {
		lines = append(lines, "The sweep was interrupted: shares are of what it had flown, which need not be spread evenly.")
	}
	if r.FeasibleOnly {
		line := "Only the flights within every limit were kept: which limit forbids the others cannot be said, and shares are of the flights that the plan has in a cell"
		if r.Sweep == sweep.DrawsMode {
			line += ", as far as they are spread evenly"
		}
		lines = append(lines, line+".")
	}
	if c.kept == 0 {
		lines = append(lines, "No flight is within every limit; the table of limits says which forbids most.")
	}
	return lines
}

// forbidden tells of each reason how much it forbids, the one that forbids most by
// itself first; reasons that forbid nothing come last.
func (p *SweepPage) forbidden() []forbidden {
	c := p.census
	var all []forbidden
	for k, name := range reasonsOf(p.brief) {
		of := forbidden{Letter: letter(k), Name: name, missed: c.missed[k], alone: c.alone[k]}
		share := func(n int64) string { return percent(float64(n) / float64(max(c.rows, 1))) }
		of.Missed, of.Alone, of.Lifted = share(of.missed), share(of.alone), share(c.kept+of.alone)
		if k < len(p.brief.Limits) {
			if p.brief.Limits[k].Default {
				of.Default = "default"
			}
		} else if of.missed == 0 {
			continue
		} else {
			of.Lifted = ""
		}
		all = append(all, of)
	}
	slices.SortStableFunc(all, func(a, b forbidden) int {
		return cmp.Or(cmp.Compare(b.alone, a.alone), cmp.Compare(b.missed, a.missed))
	})
	return all
}

// letter names a reason in a map: A to Z, then a, b and so on.
func letter(k int) string {
	const letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"
	return string(letters[k%len(letters)])
}

func (p *SweepPage) singles() []single {
	c := p.census
	var all []single
	for q := range c.bins {
		of, from := single{Name: c.bins[q].Name, Unit: c.bins[q].Unit}, &c.planes[q]
		for cell, words := range c.bins[q].Words {
			row := singleRow{Words: words, Share: "-"}
			if share, ok := from.share(cell); ok {
				row.Share = percent(share)
			}
			if k := from.hardest(cell); k >= 0 {
				row.Hardest = fmt.Sprintf("%s %s", letter(k), percent(float64(from.Missed[k][cell])/from.Rows[cell]))
			}
			for g := range p.brief.Goals {
				row.Best = append(row.Best, text.Show(p.brief.Goals[g].Key, p.brief.Goals[g].Unit).Value(float64(from.Best[g][cell])))
			}
			of.Rows = append(of.Rows, row)
		}
		all = append(all, of)
	}
	return all
}

// strongest returns the design of the sweep that holds most energy: of each
// quantity in turn the end that gives more.
func (p *SweepPage) strongest() []float64 {
	best := p.brief.Own()
	for i := range p.brief.Vary {
		v := &p.brief.Vary[i]
		for _, end := range []float64{v.Lowest(), v.Highest()} {
			x := slices.Clone(best)
			x[i] = end
			if storedEnergy(p.brief, x) > storedEnergy(p.brief, best) {
				best = x
			}
		}
	}
	return best
}
