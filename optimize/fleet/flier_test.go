package fleet

import (
	"testing"

	"ullage/testdata/briefs"
)

// What jobs have in common is worked out once, again for another search, and anew for
// each job of one that cannot be posed, which stays an error with its reason.
func TestFlierLearns(t *testing.T) {
	job := func(source string, seed uint64) *Job { return &Job{Name: "x.toml", Source: []byte(source), Seed: seed} }
	good := string(briefs.Read(t, "bottle.toml"))
	var f flier
	if err := f.learn(job(good, 1)); err != nil {
		t.Fatal(err)
	}
	first := f.problem
	if err := f.learn(job(good, 1)); err != nil || f.problem != first {
		t.Errorf("learnt again: %v, another problem %v", err, f.problem != first)
	}
	if err := f.learn(job(good, 2)); err != nil || f.problem == first || f.brief.Search.Seed != 2 {
		t.Errorf("of another seed: %v, the same problem %v", err, f.problem == first)
	}
	want := f.learn(job("title", 1))
	if want == nil {
		t.Fatal("a brief that is none is taken")
	}
	if err := f.learn(job("title", 1)); err == nil || err.Error() != want.Error() {
		t.Errorf("a brief that is none, again: %v, want %v", err, want)
	}
	if err := f.learn(job(good, 2)); err != nil || f.problem == nil {
		t.Errorf("after it: %v", err)
	}
}
