package rules

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"reflect"
	"regexp"
	"strings"

	"gopkg.in/yaml.v3"
)

const maxFile = 1 << 20

// readFile reads one rule file strictly: unknown keys, aliases, a second document
// and oversize are refused with a place.
func readFile(path string, raw []byte) (*File, []error) {
	if len(raw) > maxFile {
		return nil, []error{&Mistake{File: path, Line: 1, Col: 1, Text: "a rule file holds 1 MB at most"}}
	}
	if m := firstAlias(path, raw); m != nil {
		return nil, []error{m}
	}
	f := &File{path: path, raw: raw}
	d := yaml.NewDecoder(bytes.NewReader(raw))
	d.KnownFields(true)
	if err := d.Decode(f); err != nil && !errors.Is(err, io.EOF) {
		return nil, yamlMistakes(path, raw, err)
	}
	if err := d.Decode(new(yaml.Node)); !errors.Is(err, io.EOF) {
		return nil, []error{&Mistake{File: path, Line: 1, Col: 1, Text: "one document a file: take the second --- out"}}
	}
	return f, nil
}

// mayAlias finds what may be an anchor or an alias; most rule files hold none, and
// need not be parsed twice.
var mayAlias = regexp.MustCompile(`(^|[^&*])[&*][^\s&*=]`)

func firstAlias(path string, raw []byte) *Mistake {
	if !mayAlias.Match(raw) {
		return nil
	}
	var n yaml.Node
	if yaml.Unmarshal(raw, &n) != nil {
		n = yaml.Node{} // the strict read tells it better
	}
	var walk func(*yaml.Node, int) *Mistake
	walk = func(n *yaml.Node, depth int) *Mistake {
		if n.Kind == yaml.AliasNode || n.Anchor != "" {
			return &Mistake{File: path, Line: n.Line, Col: n.Column, Text: "anchors and aliases are not read: write it out"}
		}
		if depth > 20 {
			return &Mistake{File: path, Line: n.Line, Col: n.Column, Text: "nested too deep"}
		}
		for _, c := range n.Content {
			if m := walk(c, depth+1); m != nil {
				return m
			}
		}
		return nil
	}
	return walk(&n, 0)
}

// yamlMistakes turns the decoder's complaints into ours.
func yamlMistakes(path string, raw []byte, err error) []error {
	var te *yaml.TypeError
	if !errors.As(err, &te) {
		line := 1
		text := strings.TrimPrefix(err.Error(), "yaml: ")
		if _, e := fmt.Sscanf(text, "line %d:", &line); e == nil {
			_, text, _ = strings.Cut(text, ": ")
		}
		if at := tabbed(raw); at > 0 && strings.Contains(text, "tab character") {
			line, text = at, "indent with spaces: a tab stands here"
		}
		return []error{&Mistake{File: path, Line: line, Col: 1, Text: text}}
	}
	var out []error
	for _, e := range te.Errors {
		line := 1
		text := e
		if _, err := fmt.Sscanf(e, "line %d:", &line); err == nil {
			_, text, _ = strings.Cut(e, ": ")
		}
		out = append(out, plainField(path, raw, line, text))
	}
	return out
}

// tabbed is the first line that is indented with a tab; 0 when none is.
func tabbed(raw []byte) int {
	for n, line := range bytes.Split(raw, []byte("\n")) {
		if indent := line[:len(line)-len(bytes.TrimLeft(line, " \t"))]; bytes.ContainsRune(indent, '\t') {
			return n + 1
		}
	}
	return 0
}

// plainField says an unknown key, or what is no rule file, in words.
func plainField(path string, raw []byte, line int, text string) *Mistake {
	m := &Mistake{File: path, Line: line, Col: 1, Text: text}
	var field, in string
	if _, err := fmt.Sscanf(text, "field %s not found in type %s", &field, &in); err == nil {
		m.Text = "no such key: " + field
		if near := nearestOf(field, keysOf(strings.TrimPrefix(in, "rules."), reflect.TypeFor[File]())); near != "" {
			m.Text += "; did you mean " + near + "?"
		}
		if lines := bytes.Split(raw, []byte("\n")); line <= len(lines) {
			m.Col += max(bytes.Index(lines[line-1], []byte(field+":")), 0)
		}
	}
	if strings.HasSuffix(text, "into rules.File") {
		m.Text = "a rule file begins with the name of a list, as in rules:"
	}
	return m
}

// keysOf are the keys of a part of a rule file, by the name of its type.
func keysOf(name string, in reflect.Type) (keys []string) {
	for in.Kind() == reflect.Slice || in.Kind() == reflect.Map {
		in = in.Elem()
	}
	if in.Kind() != reflect.Struct {
		return nil
	}
	for i := range in.NumField() {
		key := in.Field(i).Tag.Get("yaml")
		if key == "" {
			continue
		}
		if in.Name() == name {
			keys = append(keys, key)
		} else if found := keysOf(name, in.Field(i).Type); found != nil {
			return found
		}
	}
	return keys
}
