// Package report makes report.html, the page of a run, and the picture of a
// fit. Start from Page, whose Write takes everything else from the run's files.
//
// The page asks for nothing from outside and depends on nothing but the
// program, the report and the run without its clock.
package report
