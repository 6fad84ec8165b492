package main

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"coldcase/bot/casenumber"
	"coldcase/bot/intake"
	"coldcase/bot/record"
	"coldcase/bot/talk"
	"coldcase/calc/derive"
	"coldcase/refdata/units"
	"coldcase/rules"
)

// replayed is where a case stands (interfaces.md).
type replayed struct {
	Case      string          `json:"case"`
	Standing  string          `json:"standing"`
	Numbers   []numberObject  `json:"numbers"`
	Causes    []causeObject   `json:"causes"`
	Excluded  []string        `json:"excluded"`
	Faults    []faultObject   `json:"faults"`
	Cautions  []topicObject   `json:"cautions"`
	Asks      []intake.Ask    `json:"asks"`
	NextCheck topicObject     `json:"next_check"`
	Plan      []topicObject   `json:"plan"`
	Read      []readingObject `json:"read"`
}

type numberObject struct {
	Name  derive.Name `json:"name"`
	Value float64     `json:"value"`
	Unit  units.Code  `json:"unit"`
	Load  derive.Load `json:"load,omitempty"`
	Note  string      `json:"note,omitempty"`
}

type causeObject struct {
	Cause    string  `json:"cause"`
	Standing string  `json:"standing"`
	Chance   float64 `json:"chance"`
}

type faultObject struct {
	Fault    string `json:"fault"`
	Standing string `json:"standing"`
}

type topicObject struct {
	Topic string `json:"topic"`
	Text  string `json:"text"`
}

func runReplay(_ context.Context, c console, args []string) error {
	f := newFlags("replay")
	asJSON := f.Bool("json", false, "write one JSON object")
	if err := parseFlags(f, args); err != nil {
		return err
	}
	if !*asJSON {
		return wrongUsage("replay writes JSON: say --json")
	}
	s, err := readSettings()
	if err != nil {
		return err
	}
	helper, err := newHelper(s, nil)
	if err != nil {
		return err
	}
	job := talk.NewReplay()
	out := replayed{Case: casenumber.Number(1).String(), Read: []readingObject{}}
	in := bufio.NewReader(c.in)
	at := time.Date(2026, 1, 1, 8, 0, 0, 0, time.UTC)
	start, first := at, true
	for {
		line, err := readLine(in)
		if err != nil && line == "" {
			break
		}
		text, sent := sentAt(line, start)
		switch {
		case !sent.IsZero():
			at = sent
		case !first:
			at = at.Add(time.Minute)
		}
		first = false
		if err := helper.Add(job, text, at); err != nil {
			return err
		}
	}
	for _, m := range job.Read {
		out.Read = append(out.Read, readObject(m))
	}
	b, err := job.Record()
	if err != nil {
		return err
	}
	numbers := derive.Numbers(b.Record())
	j := helper.Rules.Judge(b.Record(), numbers)
	out.fill(b, numbers, j)
	enc := json.NewEncoder(c.out)
	if err := enc.Encode(out); err != nil {
		return fmt.Errorf("write: %w", err)
	}
	return nil
}

// sentAt reads the "@HOURS " at the beginning of a line.
func sentAt(line string, start time.Time) (text string, at time.Time) {
	rest, found := strings.CutPrefix(line, "@")
	if !found {
		return line, time.Time{}
	}
	number, text, found := strings.Cut(rest, " ")
	hours, err := strconv.ParseFloat(number, 64)
	if !found || err != nil || hours < 0 || hours > 1e6 {
		return line, time.Time{}
	}
	return text, start.Add(time.Duration(hours * float64(time.Hour)))
}

func (r *replayed) fill(b *record.Builder, numbers derive.Result, j rules.Judgement) {
	r.Standing = j.Standing
	r.Numbers = lastNumbers(numbers)
	r.Causes, r.Excluded, r.Faults, r.Cautions, r.Asks, r.Plan = []causeObject{}, []string{}, []faultObject{}, []topicObject{}, []intake.Ask{}, []topicObject{}
	for _, c := range j.Causes {
		r.Causes = append(r.Causes, causeObject{c.Name, c.Standing, c.Chance})
	}
	r.Excluded = append(r.Excluded, j.Excluded...)
	for _, x := range j.Faults {
		r.Faults = append(r.Faults, faultObject{x.Name, x.Standing})
	}
	for _, t := range j.Cautions { // a code once, by its gravest caution
		if slices.ContainsFunc(r.Cautions, func(o topicObject) bool { return o.Topic == t.Code }) {
			continue
		}
		r.Cautions = append(r.Cautions, topicObject{t.Code, t.Text})
	}
	r.Asks = append(r.Asks, b.OpenAsks()...)
	for _, a := range j.Asks {
		r.Asks = append(r.Asks, intake.Ask{Key: a.Key, Why: a.Why})
	}
	r.NextCheck = topicObject{j.NextCheck.Code, j.NextCheck.Text}
	for _, t := range j.Plan {
		r.Plan = append(r.Plan, topicObject{t.Code, t.Text})
	}
}

// lastNumbers keeps the last value of each name and load.
func lastNumbers(all derive.Result) []numberObject {
	type key struct {
		name derive.Name
		load derive.Load
	}
	place := map[key]int{}
	out := []numberObject{}
	for _, n := range all.Numbers {
		o := numberObject{n.Name, n.Value, n.Unit, n.Load, n.Note}
		k := key{n.Name, n.Load}
		if i, ok := place[k]; ok {
			out[i] = o
			continue
		}
		place[k] = len(out)
		out = append(out, o)
	}
	return out
}
