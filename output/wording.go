package output

import "slices"

// knee returns the index of the knee, or −1 where there is no choice or no
// design that meets the limits.
func (p Report) knee(rows []Row) int {
	if len(rows) < 2 {
		return -1
	}
	return slices.IndexFunc(rows, func(r Row) bool { return r.Knee && len(p.Missed(r)) == 0 })
}
