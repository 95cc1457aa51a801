// Package notebook holds the notebooks that show a run: Front one with a front,
// Sweep one of flights. Each is a file of its own so that it can be opened, run and
// saved where it lies, with the folder of a run as its working folder; save it
// without outputs. Both have the cells that draw pictures and that read units in
// common.
package notebook

import _ "embed"

// The file names of the notebooks beside a run's files.
const (
	FrontName = "front.ipynb"
	SweepName = "sweep.ipynb"
)

// The notebooks, in the Jupyter format, version 4.5.
var (
	//go:embed front.ipynb
	Front []byte
	//go:embed sweep.ipynb
	Sweep []byte
)
