package optimize

import (
	"encoding/binary"
	"math"
)

// Since returns the designs of the island that an earlier state of it has not,
// or has with other results: those of the archive or kept, and those that are in
// the population alone. Both islands must be what Check accepts for p.
func (isl *Island) Since(p *Problem, earlier *Island) (archived, others []Design) {
	axes := make([]axis, len(p.Variables))
	for i, v := range p.Variables {
		axes[i] = newAxis(v)
	}
	known := map[string]bool{}
	for _, rows := range []*Rows{&earlier.Archive, &earlier.Population, &earlier.Kept} {
		for i := range rows.Len() {
			known[rows.print(i)] = true
		}
	}
	news := func(rows *Rows) []Design {
		var picked Rows
		for i := range rows.Len() {
			if print := rows.print(i); !known[print] {
				known[print] = true
				picked.appendRow(rows, i)
			}
		}
		return picked.designs(p, axes)
	}
	// What is kept may enter a front after a proof.
	archived = append(news(&isl.Archive), news(&isl.Kept)...)
	return archived, news(&isl.Population)
}

// print returns the bytes of a design and of its results.
func (r *Rows) print(i int) string {
	n, m, l := r.widths()
	out := make([]byte, 0, 8*(n+m+l+1))
	for _, values := range [][]float64{r.Genes[i*n : i*n+n], r.Goals[i*m : i*m+m], r.Violations[i*l : i*l+l], r.Slack[i : i+1]} {
		for _, v := range values {
			out = binary.LittleEndian.AppendUint64(out, math.Float64bits(v))
		}
	}
	return string(out)
}
