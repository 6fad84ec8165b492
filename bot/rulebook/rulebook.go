// Package rulebook keeps the rule files that leads put in force from the team chat:
// each with its author and time, none ever lost, the last one taken back with a word.
package rulebook

import (
	"encoding/json"
	"fmt"
	"path"
	"regexp"
	"slices"
	"strings"
	"time"

	"coldcase/bot/caselog"
	"coldcase/rules"
)

// Change is one step in the history of the rules.
type Change struct {
	File   string    `json:"file"`
	SHA256 string    `json:"sha256"`
	By     string    `json:"by"`
	At     time.Time `json:"at"`
	Back   bool      `json:"back,omitempty"` // the change before it was taken back
}

// Sheet is one rule file.
type Sheet struct {
	Name string
	Text []byte
}

const changesNote = "rules/changes"

// Stamp changes whenever the history does.
func Stamp(r caselog.Reader) (string, error) { return r.Note(changesNote) }

// History is every change, oldest first.
func History(r caselog.Reader) ([]Change, error) {
	text, err := Stamp(r)
	if err != nil || text == "" {
		return nil, err
	}
	var all []Change
	if err := json.Unmarshal([]byte(text), &all); err != nil {
		return nil, fmt.Errorf("history of the rules: %w", err)
	}
	return all, nil
}

// standing are the changes that were not taken back.
func standing(all []Change) []Change {
	var out []Change
	for _, c := range all {
		if !c.Back {
			out = append(out, c)
		} else if len(out) > 0 {
			out = out[:len(out)-1]
		}
	}
	return out
}

// Live are the files in force beside the shop's own folder, oldest first; a later
// one of the same name takes the place of the earlier.
func Live(r caselog.Reader) ([]Sheet, error) {
	all, err := History(r)
	if err != nil {
		return nil, err
	}
	var out []Sheet
	for _, c := range standing(all) {
		m, err := r.Media(c.SHA256)
		if err != nil {
			return nil, fmt.Errorf("rule file %s of %s: %w", c.File, c.By, err)
		}
		out = slices.DeleteFunc(out, func(s Sheet) bool { return s.Name == c.File })
		out = append(out, Sheet{c.File, m.Bytes})
	}
	return out, nil
}

const sheetType = "application/yaml"

// Keep puts a file into the store, without putting it in force.
func Keep(t caselog.Tx, s Sheet) (sha256 string, err error) {
	return t.SaveMedia(caselog.Media{Type: sheetType, Bytes: s.Text})
}

// PutInForce adds a kept file to the rules.
func PutInForce(t caselog.Tx, c Change) error {
	if m, err := t.Media(c.SHA256); err != nil || m.Type != sheetType {
		return fmt.Errorf("rule file %s is not kept: %w", c.File, err)
	}
	return record(t, c)
}

// RollBack takes the last change back; ok is false when there is none.
func RollBack(t caselog.Tx, by string, at time.Time) (back Change, ok bool, err error) {
	all, err := History(t)
	if err != nil {
		return Change{}, false, err
	}
	left := standing(all)
	if len(left) == 0 {
		return Change{}, false, nil
	}
	back = left[len(left)-1]
	return back, true, record(t, Change{File: back.File, SHA256: back.SHA256, By: by, At: at, Back: true})
}

func record(t caselog.Tx, c Change) error {
	all, err := History(t)
	if err != nil {
		return err
	}
	text, err := json.Marshal(append(all, c))
	if err != nil {
		return fmt.Errorf("history of the rules: %w", err)
	}
	return t.SaveNote(changesNote, string(text))
}

// Over loads rules with files laid over them.
func Over(base *rules.Set, sheets []Sheet) (*rules.Set, error) {
	set := base
	for _, s := range sheets {
		var err error
		if set, err = set.With(folder{s}, s.Name); err != nil {
			return nil, err
		}
	}
	return set, nil
}

var plainName = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9._-]{0,80}$`)

// NameOf makes a file name of ours of one that came from outside; false when it is
// no rule file's.
func NameOf(given string) (string, bool) {
	name := path.Base(strings.ReplaceAll(given, `\`, "/"))
	ext := strings.ToLower(path.Ext(name))
	if ext != ".yaml" && ext != ".yml" {
		return "", false
	}
	name = strings.TrimSuffix(name, path.Ext(name)) + ".yaml"
	return name, plainName.MatchString(name)
}
