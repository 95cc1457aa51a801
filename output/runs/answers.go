package runs

// Answers is what a builder asks of the front's first design, as run.json keeps
// it.
type Answers struct {
	Goal    string   `json:"goal,omitempty"`    // the first, which prices and bands are of
	Knee    string   `json:"knee,omitempty"`    // in words
	Doubts  []string `json:"doubts,omitempty"`  // in words, how far figures may be off
	Prices  []Price  `json:"prices,omitempty"`  // of the limits that hold the design back
	Bands   []Band   `json:"bands,omitempty"`   // within the limits and 1 % of the first goal
	Hardest string   `json:"hardest,omitempty"` // limit that the nearest designs miss most often, where none meets all
}

// A Price is by how much the first goal would improve for each unit by which a
// limit gave way.
type Price struct {
	Limit   string  `json:"limit"`
	Goal    string  `json:"goal"`
	PerUnit float64 `json:"per_unit"`
	Unit    string  `json:"unit"` // as written to files: "m per m/s2"
}

// A Band is the range of a quantity that keeps every limit and costs at most 1 %
// of the first goal.
type Band struct {
	Quantity string  `json:"quantity"` // as in a brief
	Unit     string  `json:"unit"`     // as written to files
	From     float64 `json:"from"`
	FromBy   string  `json:"from_by,omitempty"` // key of the limit or the goal that stops it there; none: the end of its range
	To       float64 `json:"to"`
	ToBy     string  `json:"to_by,omitempty"`
}
