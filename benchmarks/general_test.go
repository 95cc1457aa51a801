package benchmarks

import (
	"bufio"
	"context"
	"encoding/json"
	"io"
	"math"
	"os"
	"os/exec"
	"testing"

	"ullage/optimize"
	"ullage/optimize/sweep"
	"ullage/testdata/python"
)

// A general is a general-purpose optimiser in another process, pymoo's NSGA-II
// with a population of 100, for which we evaluate.
type general struct {
	tasks   *json.Encoder
	answers *json.Decoder
}

// A task is what testdata/python/nsga2.py reads.
type task struct {
	Low         []float64 `json:"low"`
	High        []float64 `json:"high"`
	Whole       bool      `json:"whole"`
	Goals       int       `json:"goals"`
	Limits      int       `json:"limits"`
	Reference   []float64 `json:"reference"`
	Evaluations int       `json:"evaluations"`
	Seed        uint64    `json:"seed"`
}

func startGeneral(b *testing.B) *general {
	b.Helper()
	cmd := exec.Command(python.Optimiser(b), "../testdata/python/nsga2.py")
	cmd.Env = append(os.Environ(), "PYTHONDONTWRITEBYTECODE=1", "OPENBLAS_NUM_THREADS=1")
	cmd.Stderr = os.Stderr
	in, err := cmd.StdinPipe()
	if err != nil {
		b.Fatal(err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		b.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() {
		if err := in.Close(); err != nil {
			b.Error(err)
		}
		if _, err := io.Copy(io.Discard, out); err != nil {
			b.Error(err)
		}
		if err := cmd.Wait(); err != nil {
			b.Errorf("nsga2.py: %v", err)
		}
	})
	return &general{json.NewEncoder(in), json.NewDecoder(bufio.NewReader(out))}
}

// search lets the optimiser search p, and returns what it found and all
// non-dominated designs that it evaluated. Variables with steps are whole
// numbers to it. bounds are what violations of each limit are divided by, since
// the optimiser adds them up.
func (g *general) search(b *testing.B, p *optimize.Problem, bounds, reference []float64, flights int, seed uint64) (found, archive []optimize.Design) {
	b.Helper()
	t := task{Goals: p.Goals, Limits: p.Limits, Reference: reference, Evaluations: flights, Seed: seed}
	for _, v := range p.Variables {
		low, high := v.From, v.To
		if n, _ := v.Values(); n > 0 {
			t.Whole, low, high = true, 0, float64(n-1)
		}
		t.Low, t.High = append(t.Low, low), append(t.High, high)
	}
	if err := g.tasks.Encode(t); err != nil {
		b.Fatal(err)
	}
	front := optimize.NewFront(len(p.Variables), p.Goals)
	for evaluated := 0; ; {
		var said struct {
			Designs [][]float64 `json:"designs"`
			Goals   [][]float64 `json:"goals"`
			Volume  float64     `json:"volume"`
		}
		if err := g.answers.Decode(&said); err != nil {
			b.Fatalf("nsga2.py: %v", err)
		}
		if said.Designs == nil {
			if evaluated < flights || evaluated >= flights+100 {
				b.Fatalf("nsga2.py: %d evaluations, want %d or the rest of a generation more", evaluated, flights)
			}
			for _, goals := range said.Goals {
				found = append(found, optimize.Design{Result: optimize.Result{Goals: goals}})
			}
			// A library's hypervolume beside ours.
			if ours := optimize.Hypervolume(said.Goals, reference); math.Abs(ours-said.Volume) > 1e-9*said.Volume {
				b.Errorf("hypervolume %v, want %v as nsga2.py computes it", ours, said.Volume)
			}
			return found, front.Designs()
		}
		evaluated += len(said.Designs)
		reply := struct {
			Goals      [][]float64 `json:"goals"`
			Violations [][]float64 `json:"violations"`
		}{}
		for _, d := range serve(b, p, said.Designs, bounds) {
			reply.Goals, reply.Violations = append(reply.Goals, d.Goals), append(reply.Violations, d.Violations)
			if feasible(d) {
				front.Offer(d.X, d.Goals, d.Slack)
			}
		}
		if err := g.tasks.Encode(reply); err != nil {
			b.Fatal(err)
		}
	}
}

func feasible(d optimize.Design) bool {
	for _, v := range d.Violations {
		if v > 0 {
			return false
		}
	}
	return !d.Failed
}

// serve evaluates designs as the optimiser knows them.
func serve(b *testing.B, p *optimize.Problem, designs [][]float64, bounds []float64) []optimize.Design {
	b.Helper()
	out := make([]optimize.Design, len(designs))
	sweep.Each(context.Background(), 0, int64(len(designs)), 2, func() func(i int64) {
		fly := p.Guarded()
		return func(i int64) {
			x := designs[i]
			for k, v := range p.Variables {
				if n, value := v.Values(); n > 0 {
					x[k] = value(int64(x[k]))
				}
			}
			d := optimize.Design{X: x, Result: optimize.Result{Goals: make([]float64, p.Goals), Violations: make([]float64, p.Limits)}}
			fly(x, &d.Result)
			for k := range d.Violations {
				d.Violations[k] /= bounds[k]
			}
			out[i] = d
		}
	})
	for _, d := range out {
		if d.Failed {
			b.Fatalf("design %v: a flight that failed, which the optimiser cannot be told", d.X)
		}
	}
	return out
}
