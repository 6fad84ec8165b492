package sqlstore

import (
	"bytes"
	"encoding/json"
	"fmt"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"coldcase/bot/caselog"
)

// redactor takes a person out of texts: the name where it stands as a word, addresses
// wherever they stand whole.
type redactor struct {
	alias string
	name  string
	place *regexp.Regexp // of the addresses; nil: none
	keys  map[string]bool
}

// removed stands where an address was.
const removed = "[removed]"

func redaction(who caselog.Forgotten, alias string) *redactor {
	r := &redactor{alias: alias, name: who.Name, keys: map[string]bool{}}
	var places []string
	for _, address := range who.Addresses {
		if address != "" {
			places = append(places, spelled(address))
			r.keys[address] = true
		}
	}
	if who.Name != "" {
		r.keys[who.Name] = true
	}
	if len(places) > 0 {
		r.place = regexp.MustCompile(strings.Join(places, "|"))
	}
	return r
}

// spelled finds an address as people write it: a phone number with spaces, dots,
// dashes or brackets, and without its plus.
func spelled(address string) string {
	digits, phone := strings.CutPrefix(address, "+")
	if !phone {
		return regexp.QuoteMeta(address)
	}
	return `\+?` + strings.Join(strings.Split(regexp.QuoteMeta(digits), ""), `[ ().-]*`)
}

// Replace is a text without the person.
func (r *redactor) Replace(s string) string {
	if r.place != nil {
		s = swap(s, r.place.FindAllStringIndex(s, -1), removed)
	}
	if r.name != "" {
		s = swap(s, every(s, r.name), r.alias)
	}
	return s
}

func every(s, word string) (at [][]int) {
	for from := 0; ; {
		i := strings.Index(s[from:], word)
		if i < 0 {
			return at
		}
		at = append(at, []int{from + i, from + i + len(word)})
		from += i + len(word)
	}
}

// swap puts another text in places that are no part of a longer word or number.
func swap(s string, places [][]int, with string) string {
	var out strings.Builder
	last := 0
	for _, p := range places {
		before, _ := utf8.DecodeLastRuneInString(s[:p[0]])
		after, _ := utf8.DecodeRuneInString(s[p[1]:])
		if inWord(before) || inWord(after) {
			continue
		}
		out.WriteString(s[last:p[0]])
		out.WriteString(with)
		last = p[1]
	}
	out.WriteString(s[last:])
	return out.String()
}

func inWord(c rune) bool {
	return c != utf8.RuneError && (unicode.IsLetter(c) || unicode.IsDigit(c) || unicode.IsMark(c))
}

// Body is Replace for what may be JSON: there only the values of strings change, so
// that it stays what it is for whoever reads it.
func (r *redactor) Body(s string) (string, error) {
	if r.Replace(s) == s {
		return s, nil
	}
	if !json.Valid([]byte(s)) {
		return r.Replace(s), nil // plain text
	}
	d := json.NewDecoder(strings.NewReader(s))
	d.UseNumber()
	var v any
	if err := d.Decode(&v); err != nil {
		return "", fmt.Errorf("take a person out: %w", err)
	}
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	err := e.Encode(r.value(v))
	return strings.TrimSuffix(out.String(), "\n"), err
}

func (r *redactor) value(v any) any {
	switch v := v.(type) {
	case string:
		return r.Replace(v)
	case []any:
		for i := range v {
			v[i] = r.value(v[i])
		}
	case map[string]any:
		for k := range v {
			v[k] = r.value(v[k])
		}
	}
	return v
}

// owns reports a note that is kept under the person's name or address.
func (r *redactor) owns(key string) bool {
	return r.keys[key[strings.LastIndex(key, "/")+1:]]
}
