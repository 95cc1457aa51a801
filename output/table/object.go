package table

import (
	"bytes"
	"encoding/json"
)

// An Object is a JSON object that keeps the order of its keys, which a map
// would lose.
type Object struct {
	keys   []string
	values []any
}

// Add puts a key behind the others. The value is encoded as encoding/json
// does, a number that is NaN as null.
func (o *Object) Add(key string, value any) {
	o.keys = append(o.keys, key)
	o.values = append(o.values, value)
}

// MarshalJSON writes the keys in the order in which they were added. It errs where
// encoding/json cannot encode a value, such as a function.
func (o *Object) MarshalJSON() ([]byte, error) {
	var out bytes.Buffer
	out.WriteByte('{')
	for i, key := range o.keys {
		if i > 0 {
			out.WriteByte(',')
		}
		for j, part := range []any{key, o.values[i]} {
			if j > 0 {
				out.WriteByte(':')
			}
			if v, ok := part.(float64); ok {
				part = Number(v)
			}
			text, err := json.Marshal(part)
			if err != nil {
				return nil, err
			}
			out.Write(text)
		}
	}
	out.WriteByte('}')
	return out.Bytes(), nil
}

// Indented returns the object as indented JSON with a final newline. It errs as
// MarshalJSON does.
func (o *Object) Indented() ([]byte, error) {
	var out bytes.Buffer
	encoder := json.NewEncoder(&out)
	encoder.SetIndent("", "  ")
	if err := encoder.Encode(o); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}
