// Package output says which numbers a design, a flight or a sweep of them
// shows, and lays them out as tables: the front, the history of a search,
// trajectories, landings, flights, indices, results under scatter. Start from
// Layout and Row; FORMAT.md beside this file describes what is written.
//
// It assumes SI values with angles in radians, which table converts to written
// units and text to shown ones. Results arrive as data: it flies, ranks,
// prints and writes nothing. The packages inside it are file, table and runs,
// which know none of this, and text, report and card, which show it.
package output
