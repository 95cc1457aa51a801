package constraints

import "testing"

// The last slack that binds is exactly 1 % of the bound.
func TestBindingReachesOnePercent(t *testing.T) {
	l := Limit{AtLeast: -inf, AtMost: 100}
	if !l.Binding(1) || !l.Binding(-1) || l.Binding(1.0000001) || l.Binding(-1.0000001) {
		t.Errorf("Binding(±1) = %v, %v, Binding(±1.0000001) = %v, %v; want true, then false",
			l.Binding(1), l.Binding(-1), l.Binding(1.0000001), l.Binding(-1.0000001))
	}
}
