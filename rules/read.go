package rules

import (
	"bytes"
	"errors"
	"fmt"
	"io"
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
		return nil, yamlMistakes(path, err)
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
func yamlMistakes(path string, err error) []error {
	var te *yaml.TypeError
	if !errors.As(err, &te) {
		line := 1
		text := strings.TrimPrefix(err.Error(), "yaml: ")
		if _, e := fmt.Sscanf(text, "line %d:", &line); e == nil {
			_, text, _ = strings.Cut(text, ": ")
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
		out = append(out, &Mistake{File: path, Line: line, Col: 1, Text: plainField(text)})
	}
	return out
}

// plainField says an unknown key in words.
func plainField(text string) string {
	var field, in string
	if _, err := fmt.Sscanf(text, "field %s not found in type %s", &field, &in); err == nil {
		return fmt.Sprintf("no such key: %s", field)
	}
	return text
}
