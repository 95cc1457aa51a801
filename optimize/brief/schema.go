package brief

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Schema returns the JSON Schema of a brief, for editors that complete and
// check TOML. It holds what can be said key by key; Parse checks the rest.
func Schema() []byte {
	root := object()
	root.Version, root.Title = "https://json-schema.org/draft/2020-12/schema", "brief of a water rocket"
	root.Definitions = map[string]*schema{}
	for si := range dimensions {
		define(root.Definitions, dimensionID(si), dimensionSchema(si))
	}
	define(root.Definitions, "fill", &schema{AnyOf: []*schema{
		{Type: "number"}, unitText(slices.Concat(unitNames("1"), unitNames("m3"), unitNames("kg"))),
	}})
	root.Properties.set("title", &schema{Type: "string"})
	root.Properties.set(classSection, &schema{
		Description: "file, beside the brief, with the title, [limits] and perhaps [goals] of a class; or its text, as a run has it",
		AnyOf:       []*schema{{Type: "string"}, {Type: "object"}},
	})
	for _, q := range singleNumbers() {
		put(root, q.Key, numberSchema(q), q.fallback == "")
	}
	for _, w := range words {
		put(root, w.key, wordSchema(w), w.fallback == 0)
	}
	for _, c := range counters {
		put(root, c.key, counterSchema(c), false)
	}
	put(root, proofDateKey, &schema{Description: "on which the chamber was tested, shown on the card", Pattern: `^\d{4}-\d\d-\d\d$`}, false)
	systems := &schema{Type: "string", Description: "of the pad card", Default: unitSystems[0]}
	for _, name := range unitSystems {
		systems.Enum = append(systems.Enum, name)
	}
	root.Properties.set("units", systems)
	root.Properties.set("part", partsSchema())
	root.Required = append(root.Required, "part")
	vary := quantitiesSchema(varySchema)
	for i := range named {
		s := choicesSchema(&schema{Enum: wordSchema(*named[i].word).Enum})
		s.Description = named[i].Doc
		vary.Properties.set(named[i].Key, s)
	}
	root.Properties.set("vary", vary)
	scatter, day := quantitiesSchema(scatterSchema), quantitiesSchema(scatterSchema)
	day.Description = "drawn once for all flights of a day"
	scatter.Properties.set("day", day)
	root.Properties.set("scatter", scatter)
	root.Properties.set("goals", metricsSchema("goal"))
	root.Properties.set("limits", metricsSchema("limit"))
	text, err := json.MarshalIndent(root, "", "  ")
	if err != nil {
		panic(err) // nothing in the schema depends on input
	}
	return append(text, '\n')
}

// put adds a key to its tables, which are made where there are none. A table
// that may be left out is not required by the tables around it.
func put(root *schema, key string, s *schema, required bool) {
	names, in, path := strings.Split(key, "."), root, ""
	for i, name := range names {
		path = strings.TrimPrefix(path+"."+name, ".")
		next, ok := in.Properties.of[name]
		switch {
		case i == len(names)-1:
			next = s
			in.Properties.set(name, s)
		case !ok:
			next = object()
			in.Properties.set(name, next)
		}
		needed := required && !leftOutTable(key, path)
		if needed && !slices.Contains(in.Required, name) {
			in.Required = append(in.Required, name)
		}
		in = next
	}
}

// leftOutTable reports whether path is a table on the way to an optional one,
// or that one, of key.
func leftOutTable(key, path string) bool {
	return slices.Contains(optionalTables, parentOf(key)) && path != key
}

// dimensionID names a dimension within the schema: "length".
func dimensionID(si string) string {
	_, name, _ := strings.Cut(dimensions[si].name, " ")
	return strings.ReplaceAll(name, " ", "-")
}

func dimensionSchema(si string) *schema {
	switch si {
	case "cal":
		return &schema{Type: "number"}
	case "1":
		return &schema{AnyOf: []*schema{{Type: "number"}, unitText(unitNames(si))}}
	}
	return unitText(unitNames(si))
}

// unitText is a text of a number and one of these units.
func unitText(names []string) *schema {
	return &schema{
		Type: "string",
		// A comma before three digits may part thousands.
		Pattern: `^\s*[-+−]?(\d+\.?\d*|\.\d+|0+,\d+|\d+,(\d{1,2}|\d{4,}))([eE][+-]?\d+)?\s*(` + unitPattern(names) + `)\s*$`,
	}
}

// define names the schema of a dimension's values, and those of what is built
// from such values, so that they stand in the schema once.
func define(all map[string]*schema, id string, value *schema) {
	all[id] = value
	all["vary-"+id] = spanSchema(refer(id))
	all["goal-"+id] = goalSchema(refer(id))
	all["limit-"+id] = limitSchema(refer(id))
	all["scatter-"+id] = &schema{AnyOf: []*schema{refer(id), unitText([]string{"%"})}}
}

func refer(id string) *schema { return &schema{Ref: "#/$defs/" + id} }

// valueID names the schema of a quantity's values.
func valueID(q *Quantity) string {
	if q.Key == "chamber.fill" {
		return "fill"
	}
	return dimensionID(q.Unit)
}

// numberSchema is a value of a quantity within its range of validity. A
// keyword for numbers leaves texts with units alone.
func numberSchema(q *Quantity) *schema {
	s := refer(valueID(q))
	s.Description = fmt.Sprintf("%s; %s", q.Doc, q.rangeText())
	if q.Unit == "1" {
		s.Minimum, s.Maximum = json.Number(plain(q.Min)), json.Number(plain(q.Max))
	}
	if q.Allowed != nil {
		s.Ref = ""
		for _, v := range q.Allowed {
			s.Enum = append(s.Enum, v)
		}
	}
	if v, ok := defaultValue(q); ok {
		s.Default = v
	}
	return s
}

func plain(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// defaultValue returns a fallback as a brief would have it.
func defaultValue(q *Quantity) (any, bool) {
	if q.fallback == "" || q.fallback == none || q.fallback == computed {
		return nil, false
	}
	if _, unit, _ := amount(q.fallback); unit == "" {
		return mustRead(q.fallback, q.Unit), true
	}
	return q.fallback, true
}

func wordSchema(w word) *schema {
	s := &schema{Type: "string", Description: w.doc}
	for _, name := range w.names {
		s.Enum = append(s.Enum, name)
	}
	if w.fallback > 0 {
		s.Default = w.names[w.fallback-1]
	}
	return s
}

func counterSchema(c counter) *schema {
	s := &schema{
		Type: "integer", Description: c.doc,
		Minimum: json.Number(strconv.FormatInt(c.min, 10)), Maximum: json.Number(strconv.FormatInt(c.max, 10)),
	}
	if c.fallback != absent {
		s.Default = c.fallback
	}
	return s
}

func partsSchema() *schema {
	part := object()
	part.Properties.set("name", &schema{Type: "string"})
	for i := range partNumbers {
		put(part, partNumbers[i].Key, numberSchema(&partNumbers[i]), partNumbers[i].fallback == "")
	}
	return &schema{Type: "array", MinItems: 1, Items: part}
}

// quantitiesSchema is a table with an item for every quantity that has one.
func quantitiesSchema(item func(q *Quantity) *schema) *schema {
	all := object()
	for i := range quantities {
		q := &quantities[i]
		if s := item(q); s != nil {
			s.Description = q.Doc
			all.Properties.set(q.Key, s)
		}
	}
	return all
}

func varySchema(q *Quantity) *schema {
	if q.Allowed != nil {
		return choicesSchema(&schema{Enum: numberSchema(q).Enum})
	}
	s := refer("vary-" + valueID(q))
	if q.Key == canopyKey {
		canopy := object()
		canopy.Properties.set("canopy", refer(valueID(q)))
		canopy.Properties.set("mass", refer(dimensionID("kg")))
		canopy.Required = []string{"canopy", "mass"}
		s = &schema{OneOf: []*schema{s, choicesSchema(canopy)}}
	}
	return s
}

func scatterSchema(q *Quantity) *schema {
	if q.whole() {
		return nil
	}
	return refer("scatter-" + valueID(q))
}

func spanSchema(value *schema) *schema {
	span := object()
	for _, name := range []string{"from", "to", "step"} {
		span.Properties.set(name, value)
	}
	span.Required = []string{"from", "to"}
	return &schema{OneOf: []*schema{span, choicesSchema(value)}}
}

func choicesSchema(value *schema) *schema {
	s := object()
	s.Properties.set("choices", &schema{Type: "array", MinItems: 1, UniqueItems: true, Items: value})
	s.Required = []string{"choices"}
	return s
}

// metricsSchema is a table with an item for every figure and quantity.
func metricsSchema(item string) *schema {
	all := object()
	keys := metricKeys()
	if item == "limit" {
		keys = append(keys, gustKey)
	}
	for _, key := range keys {
		m, _ := MetricByKey(key)
		id := dimensionID(m.Unit)
		if m.Quantity != nil {
			id = valueID(m.Quantity)
		}
		s := refer(item + "-" + id)
		if _, off := defaultLimit(&m); off && item == "limit" && m.Key != "proof_ratio" {
			s = &schema{AnyOf: []*schema{s, {Const: noLimit}}}
		}
		s.Description = m.Doc
		all.Properties.set(key, s)
	}
	return all
}

func goalSchema(value *schema) *schema {
	s := &schema{OneOf: []*schema{{Enum: []any{"highest", "lowest"}}}}
	for _, name := range []string{"highest", "lowest"} {
		g := object()
		g.Properties.set(name, &schema{Const: true})
		g.Properties.set("up_to", value)
		g.Properties.set("as", statisticSchema())
		g.Required = []string{name}
		s.OneOf = append(s.OneOf, g)
	}
	near := object()
	near.Properties.set("nearest", value)
	near.Properties.set("as", statisticSchema())
	near.Required = []string{"nearest"}
	s.OneOf = append(s.OneOf, near)
	return s
}

func statisticSchema() *schema {
	return &schema{
		Type: "string", Pattern: `^(mean|p10|best [1-9]\d? of [1-9]\d?)$`,
		Description: "what many flights of a robust search are summed up by; mean where it is not given",
	}
}

func limitSchema(value *schema) *schema {
	s := object()
	s.Properties.set("at_least", value)
	s.Properties.set("at_most", value)
	s.MinProperties = 1
	return s
}
