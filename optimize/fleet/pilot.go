package fleet

import (
	"context"
	"encoding/json"
	"fmt"
	"runtime/debug"

	"ullage/optimize"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/optimize/sweep"
)

// A Pilot flies jobs, one at a time, and remembers the brief of the last.
type Pilot struct {
	of      string // what brief and problem were made of
	brief   *brief.Brief
	problem *optimize.Problem
}

// Fly returns the body of the answer to a job: it depends on the job alone. An
// error that is not that of ctx would come wherever the job is flown.
func (p *Pilot) Fly(ctx context.Context, j *Job) (body []byte, err error) {
	defer func() {
		if r := recover(); r != nil {
			p.of = ""
			err = fmt.Errorf("%v: panic: %v\n%s", j, r, debug.Stack())
		}
	}()
	if err := p.learn(j); err != nil {
		return nil, err
	}
	if j.Epoch != nil {
		return p.epoch(ctx, j.Epoch)
	}
	return p.stretch(ctx, j)
}

func (p *Pilot) learn(j *Job) (err error) {
	of := fmt.Sprintf("%q %q %q %d %v %v", j.Name, j.Source, j.Set, j.Seed, j.First, j.Stretch != nil)
	if of == p.of {
		return nil
	}
	p.of = ""
	if p.brief, p.problem, err = j.pose(); err == nil {
		p.of = of
	}
	return err
}

func (p *Pilot) epoch(ctx context.Context, e *Epoch) ([]byte, error) {
	var isl optimize.Island
	if err := isl.UnmarshalBinary(e.Island); err != nil {
		return nil, err
	}
	if err := isl.Check(p.problem, e.Settings, e.Index); err != nil {
		return nil, fmt.Errorf("island %d: %w", e.Index, err)
	}
	flown, err := optimize.Local(p.problem, e.Settings, 1)(ctx, isl)
	if err != nil {
		return nil, err
	}
	return flown.MarshalBinary()
}

// plan lists the designs of the sweep that s is a stretch of.
func (s *Stretch) plan(p *optimize.Problem, seed uint64) (sweep.Plan, error) {
	var plan sweep.Plan
	var err error
	switch s.Mode {
	case sweep.GridMode, sweep.FrontMode:
		plan, err = sweep.Grid(p.Variables)
	case sweep.DrawsMode:
		plan = sweep.Draws(p.Variables, s.Size, seed)
	case sweep.IndicesMode:
		plan = sweep.Saltelli(p.Variables, s.Size, seed)
	default:
		err = fmt.Errorf("mode %q: unknown", s.Mode)
	}
	if err == nil && !(0 <= s.From && s.From < s.To && s.To <= plan.Size) {
		err = fmt.Errorf("designs %d to %d: want some of %d", s.From, s.To-1, plan.Size)
	}
	return plan, err
}

func (p *Pilot) stretch(ctx context.Context, j *Job) ([]byte, error) {
	s := j.Stretch
	plan, err := s.plan(p.problem, j.Seed)
	if err != nil {
		return nil, err
	}
	if s.Mode == sweep.FrontMode {
		t := sweep.Tally{Next: s.From}
		if !t.Advance(ctx, p.problem, plan, s.To, 1) {
			return nil, ctx.Err()
		}
		return json.Marshal(t)
	}
	fly, err := study.Keeper(p.brief, s.Numbers)
	if err != nil {
		return nil, err
	}
	x := make([]float64, len(p.problem.Variables))
	var rows rowWriter
	var kept study.Kept
	for i := s.From; i < s.To; i++ {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		plan.At(i, x)
		fly(x, &kept)
		rows.add(&kept)
	}
	return rows.bytes, nil
}
