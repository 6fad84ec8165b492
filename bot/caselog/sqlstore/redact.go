package sqlstore

import (
	"bytes"
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"coldcase/bot/caselog"
)

// redactor takes a person out of texts: the name where it stands as a word, addresses
// wherever they stand whole.
type redactor struct {
	alias  string
	names  *regexp.Regexp // nil: none
	places *regexp.Regexp // of the addresses; nil: none
	keys   []string
}

// removed stands where an address was.
const removed = "[removed]"

func redaction(names []string, who caselog.Forgotten, alias string) *redactor {
	r := &redactor{alias: alias, keys: slices.Concat(names, who.Addresses)}
	for _, name := range names {
		switch said := regexp.QuoteMeta(name); {
		case !who.Ordinary:
			r.names = orElse(r.names, "(?i:"+said+")")
		case name != strings.ToLower(name):
			r.names = orElse(r.names, said)
		}
	}
	for _, address := range who.Addresses {
		r.places = orElse(r.places, spelled(address))
	}
	return r
}

// orElse finds what the one finds or the other.
func orElse(one *regexp.Regexp, other string) *regexp.Regexp {
	if one != nil {
		other = one.String() + "|" + other
	}
	return regexp.MustCompile(other)
}

// spelled finds an address as people write it: a phone number with spaces, dots,
// dashes or brackets, without its plus, and without its country code.
func spelled(address string) string {
	digits, phone := strings.CutPrefix(address, "+")
	if !phone {
		return regexp.QuoteMeta(address)
	}
	const between, shortest = `[ ().-]*`, 7
	apart := func(digits string) string { return strings.Join(strings.Split(digits, ""), between) }
	// ITU-T E.164: the codes 1 and 7 have one digit, all others two or three.
	code := 2
	if digits[:1] == "1" || digits[:1] == "7" {
		code = 1
	}
	if len(digits)-code < shortest {
		return `\+?` + apart(digits)
	}
	return `(?:\+?` + apart(digits[:code]) + between + `)?\(?` + apart(digits[code:])
}

// Replace is a text without the person.
func (r *redactor) Replace(s string) string {
	if r.places != nil {
		s = swap(s, r.places.FindAllStringIndex(s, -1), removed)
	}
	if r.names != nil {
		s = swap(s, r.names.FindAllStringIndex(s, -1), r.alias)
	}
	return s
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

// inWord: codes such as low_charge are one word.
func inWord(c rune) bool {
	return c != utf8.RuneError && (c == '_' || unicode.IsLetter(c) || unicode.IsDigit(c) || unicode.IsMark(c))
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
	return slices.Contains(r.keys, key[strings.LastIndex(key, "/")+1:])
}
