package output

import (
	"bytes"
	"encoding/json"
)

// An object is a JSON object that keeps the order of its keys, which a map
// would lose.
type object struct {
	keys   []string
	values []any
}

func (o *object) add(key string, value any) {
	o.keys = append(o.keys, key)
	o.values = append(o.values, value)
}

func (o *object) MarshalJSON() ([]byte, error) {
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

// bytes returns the object as indented JSON with a final newline.
func (o *object) bytes() ([]byte, error) {
	var out bytes.Buffer
	encoder := json.NewEncoder(&out)
	encoder.SetIndent("", "  ")
	if err := encoder.Encode(o); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}
