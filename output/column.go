package output

// A Role says what a column is for.
type Role string

// The roles, as they are written to the field metadata.
const (
	Identity Role = "identity"
	Varied   Role = "varied"
	Goal     Role = "goal"
	Figure   Role = "figure"
	Slack    Role = "slack"
)

// A Column describes one column of a table. Name carries the unit
// ("apogee_m"); Unit is the same in words ("m", "1" for a ratio).
type Column struct {
	Name  string
	Unit  string
	Role  Role
	Sense string // of a goal: "highest", "lowest", "nearest 100 m"; else empty
	Doc   string
}
