package main

import (
	"encoding/json"
	"fmt"
	"os"
	"strings"
)

// object is a JSON object with its keys in the order of the file and its numbers
// as they are written there.
type object struct {
	keys   []string
	values map[string]any // string, json.Number, bool, nil, []any, *object
}

func (o *object) object(key string) *object { v, _ := o.values[key].(*object); return v }
func (o *object) text(key string) string    { return text(o.values[key]) }

func (o *object) list(key string) ([]any, bool) {
	if o == nil {
		return nil, false
	}
	v, ok := o.values[key].([]any)
	return v, ok
}

func readObject(file string) (*object, error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, fmt.Errorf("coefficients: %w", err)
	}
	defer f.Close()
	d := json.NewDecoder(f)
	d.UseNumber()
	v, err := readValue(d)
	if err != nil {
		return nil, fmt.Errorf("coefficients %s: %w", file, err)
	}
	o, ok := v.(*object)
	if !ok {
		return nil, fmt.Errorf("coefficients %s: no object", file)
	}
	return o, nil
}

func readValue(d *json.Decoder) (any, error) {
	token, err := d.Token()
	if err != nil {
		return nil, err
	}
	switch token {
	case json.Delim('{'):
		return readMembers(d)
	case json.Delim('['):
		var list []any
		for d.More() {
			v, err := readValue(d)
			if err != nil {
				return nil, err
			}
			list = append(list, v)
		}
		_, err := d.Token()
		return list, err
	}
	return token, nil
}

func readMembers(d *json.Decoder) (*object, error) {
	o := &object{values: map[string]any{}}
	for d.More() {
		key, err := d.Token()
		if err != nil {
			return nil, err
		}
		name, _ := key.(string)
		if o.values[name], err = readValue(d); err != nil {
			return nil, err
		}
		o.keys = append(o.keys, name)
	}
	_, err := d.Token()
	return o, err
}

// text of a plain value or a list of them, as a sheet writes it.
func text(v any) string {
	switch v := v.(type) {
	case nil:
		return ""
	case []any:
		parts := make([]string, len(v))
		for i, x := range v {
			parts[i] = text(x)
		}
		return strings.Join(parts, " ")
	}
	return fmt.Sprint(v)
}
