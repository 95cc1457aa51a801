package brief

import (
	"bytes"
	"encoding/json"
)

// A schema is one of JSON Schema, draft 2020-12, with the keywords that a brief's
// needs, in the order in which they are written.
type schema struct {
	Version              string             `json:"$schema,omitempty"`
	Ref                  string             `json:"$ref,omitempty"`
	Definitions          map[string]*schema `json:"$defs,omitempty"`
	AnyOf                []*schema          `json:"anyOf,omitempty"`
	OneOf                []*schema          `json:"oneOf,omitempty"`
	Items                *schema            `json:"items,omitempty"`
	Properties           *properties        `json:"properties,omitempty"`
	AdditionalProperties *bool              `json:"additionalProperties,omitempty"`
	Type                 string             `json:"type,omitempty"`
	Enum                 []any              `json:"enum,omitempty"`
	Const                any                `json:"const,omitempty"`
	Maximum              json.Number        `json:"maximum,omitempty"`
	Minimum              json.Number        `json:"minimum,omitempty"`
	Pattern              string             `json:"pattern,omitempty"`
	MinItems             int                `json:"minItems,omitempty"`
	UniqueItems          bool               `json:"uniqueItems,omitempty"`
	MinProperties        int                `json:"minProperties,omitempty"`
	Required             []string           `json:"required,omitempty"`
	Title                string             `json:"title,omitempty"`
	Description          string             `json:"description,omitempty"`
	Default              any                `json:"default,omitempty"`
}

// properties are the keys of a table in the order in which they were set: that
// of the reference, which editors offer them in.
type properties struct {
	names []string
	of    map[string]*schema
}

// set gives a key its schema.
func (p *properties) set(name string, s *schema) {
	if p.of == nil {
		p.of = map[string]*schema{}
	}
	if p.of[name] == nil {
		p.names = append(p.names, name)
	}
	p.of[name] = s
}

// MarshalJSON writes an object with the keys in their order.
func (p *properties) MarshalJSON() ([]byte, error) {
	var out bytes.Buffer
	out.WriteByte('{')
	for i, name := range p.names {
		if i > 0 {
			out.WriteByte(',')
		}
		key, err := json.Marshal(name)
		if err != nil {
			return nil, err
		}
		value, err := json.Marshal(p.of[name])
		if err != nil {
			return nil, err
		}
		out.Write(key)
		out.WriteByte(':')
		out.Write(value)
	}
	out.WriteByte('}')
	return out.Bytes(), nil
}

// object is a table that has no other keys than its properties.
func object() *schema {
	var others bool
	return &schema{Type: "object", Properties: &properties{}, AdditionalProperties: &others}
}
