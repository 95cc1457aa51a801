// Package notebook holds the notebook that shows a run. It is a file of its
// own so that it can be opened, run and saved where it lies, with the folder
// of a run as its working folder; save it without outputs.
package notebook

import _ "embed"

// Name is the file name of Front beside a run's files.
const Name = "front.ipynb"

// Front is the notebook, in the Jupyter format, version 4.5.
//
//go:embed front.ipynb
var Front []byte
