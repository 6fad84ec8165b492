package rules

import (
	"reflect"
	"slices"
	"strings"
)

// Schema is the JSON Schema of a rule file, for editors, made from the types that
// the loader reads into.
func Schema() map[string]any {
	s := schemaOf(reflect.TypeFor[File]())
	s["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	s["title"] = "coldcase rule file"
	return s
}

var (
	text = map[string]any{"type": "string"}
	list = map[string]any{"type": "array", "items": text}
)

// enums are the fields that take one of a few words.
var enums = map[string][]string{
	"severity": severities,
	"status":   {"trial", "proven", "retired"},
	"standing": {Likely, Possible},
}

// needed are the fields that the loader does not do without.
var needed = map[reflect.Type][]string{
	reflect.TypeFor[Rule](): {"id", "title", "severity", "status", "when", "why", "also_looks_like", "sources", "examples"},
	reflect.TypeFor[Sign](): {"id", "title", "says", "sources"},
}

func schemaOf(t reflect.Type) map[string]any {
	switch t {
	case reflect.TypeFor[Text]():
		return text
	case reflect.TypeFor[When]():
		return map[string]any{"anyOf": []any{text, map[string]any{"type": "array", "items": text}}, "description": "an expression, or several of which one will do; coldcase rules names lists the names"}
	case reflect.TypeFor[Source]():
		return map[string]any{"anyOf": []any{text, map[string]any{"type": "object", "required": []string{"title"}, "properties": map[string]any{"title": text, "edition": text, "page": text}, "additionalProperties": false}}}
	case reflect.TypeFor[Saying]():
		return map[string]any{"type": "array", "prefixItems": []any{map[string]any{"enum": strengthWords()}, text}, "minItems": 2, "maxItems": 2}
	case reflect.TypeFor[Expectation]():
		return map[string]any{"anyOf": []any{map[string]any{"enum": []string{"fires", "silent"}}, map[string]any{"type": "object", "properties": map[string]any{"asks": list, "for": list, "against": list}, "additionalProperties": false}}}
	case reflect.TypeFor[Given]():
		return map[string]any{"type": "object", "additionalProperties": map[string]any{"type": []string{"string", "number", "boolean"}}}
	}
	switch t.Kind() {
	case reflect.Struct:
		return structSchema(t)
	case reflect.Slice:
		return map[string]any{"type": "array", "items": schemaOf(t.Elem())}
	case reflect.Map:
		return map[string]any{"type": "object", "additionalProperties": schemaOf(t.Elem())}
	case reflect.Bool:
		return map[string]any{"type": "boolean"}
	case reflect.Float64:
		return map[string]any{"type": "number"}
	}
	return text
}

func structSchema(t reflect.Type) map[string]any {
	properties := map[string]any{}
	for i := range t.NumField() {
		name, _, _ := strings.Cut(t.Field(i).Tag.Get("yaml"), ",")
		if name == "" {
			continue
		}
		properties[name] = schemaOf(t.Field(i).Type)
		if words, ok := enums[name]; ok {
			properties[name] = map[string]any{"enum": words}
		}
	}
	s := map[string]any{"type": "object", "properties": properties, "additionalProperties": false}
	if must, ok := needed[t]; ok {
		s["required"] = must
	}
	return s
}

func strengthWords() []string {
	var words []string
	for w := range strengths {
		words = append(words, w)
	}
	slices.Sort(words)
	return words
}
