package output

import "fmt"

const flightsFolder = "flights"

// PartName returns the name in a run folder of a part of a sweep, from 1:
// flights/part-000001.parquet.
func PartName(number int) string {
	return fmt.Sprintf("%s/part-%06d.parquet", flightsFolder, number)
}
