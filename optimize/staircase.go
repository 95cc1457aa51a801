package optimize

// A staircase is the part of a rectangle that lies above and right of some
// corners. The corners are kept with x rising and y falling.
type staircase struct {
	x0, y0, x1, y1 float64
	corners        []stair
}

// add puts a corner in and returns the area that it adds.
func (s *staircase) add(x, y float64) float64 {
	x, y = max(x, s.x0), max(y, s.y0)
	c := s.corners
	i := 0
	if len(c) > 16 {
		i = after(c, x)
	} else {
		for i < len(c) && c[i].x <= x {
			i++
		}
	}
	height := s.y1
	if i > 0 {
		height = c[i-1].y
	}
	if height <= y {
		return 0
	}
	gain, left, j := 0.0, x, i
	for ; j < len(c) && c[j].y >= y; j++ {
		gain += float64((c[j].x - left) * (height - y))
		left, height = c[j].x, c[j].y
	}
	right := s.x1
	if j < len(c) {
		right = c[j].x
	}
	gain += float64((right - left) * (height - y))
	if i > 0 && c[i-1].x == x { // the new corner lies below the one before
		i--
	}
	if i == j {
		c = append(c, stair{})
		copy(c[i+1:], c[i:])
		c[i] = stair{x, y}
	} else {
		c[i] = stair{x, y}
		c = append(c[:i+1], c[j:]...)
	}
	s.corners = c
	return gain
}

// free returns the area that no corner covers.
func (s *staircase) free() float64 {
	area, right := (s.x1-s.x0)*(s.y1-s.y0), s.x1
	for i := len(s.corners) - 1; i >= 0; i-- {
		c := s.corners[i]
		area -= float64((right - c.x) * (s.y1 - c.y))
		right = c.x
	}
	return area
}
