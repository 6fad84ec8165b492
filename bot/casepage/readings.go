package casepage

import (
	"strconv"
	"strings"
	"time"

	"coldcase/bot/reply"
	"coldcase/bot/talk"
	"coldcase/calc/derive"
	"coldcase/refdata/phrases"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// slot is where a reading stands: a later one of the same slot replaces it.
type slot struct {
	key   vocab.Key
	visit int
	state vocab.State
}

func slotOf(o derive.Observation) slot { return slot{o.Key, o.Visit, o.State} }

// visits are the readings as typed, by visit; one that a later one of the same
// visit and state replaced is struck out.
func (s Story) visits(zone *time.Location) []Visit {
	last := make(map[slot]int)
	for i, o := range s.Record.Observations {
		last[slotOf(o)] = i
	}
	var out []Visit
	for i, o := range s.Record.Observations {
		if len(out) == 0 || out[len(out)-1].Number != o.Visit {
			out = append(out, Visit{Number: o.Visit, At: o.At.In(zone)})
		}
		d, _ := vocab.Define(o.Key)
		v := &out[len(out)-1]
		v.Rows = append(v.Rows, ReadingRow{
			Name: upper(phrases.Label(string(o.Key))), What: d.What, Value: typed(o, d), Note: noteOf(o, d), Replaced: last[slotOf(o)] != i,
		})
	}
	return out
}

func typed(o derive.Observation, d vocab.Definition) string {
	if d.Quantity == vocab.TubeSize && o.Unit == units.CodeInch {
		return reply.Inches(o.Value)
	}
	return strconv.FormatFloat(o.Value, 'f', -1, 64) + " " + talk.UnitWord(o.Unit)
}

func noteOf(o derive.Observation, d vocab.Definition) string {
	var notes []string
	if o.State == vocab.Standing && (d.Quantity == vocab.GaugePressure || d.Quantity == vocab.Temperature) {
		notes = append(notes, "machine at rest")
	}
	if o.Assumed {
		notes = append(notes, "unit assumed")
	}
	if o.Approx {
		notes = append(notes, "approximate")
	}
	if o.Settling {
		notes = append(notes, "not settled yet")
	}
	return strings.Join(notes, ", ")
}

// numberRows are the last values of the visit that is going on.
func (s Story) numberRows() []NumberRow {
	type which struct {
		name derive.Name
		load derive.Load
	}
	at := map[which]int{}
	var out []NumberRow
	for _, n := range s.Numbers.Numbers {
		if n.Visit != s.Record.Visit {
			continue
		}
		row := numberRow(n)
		if i, had := at[which{n.Name, n.Load}]; had {
			out[i] = row
			continue
		}
		at[which{n.Name, n.Load}] = len(out)
		out = append(out, row)
	}
	return out
}

func numberRow(n derive.Number) NumberRow {
	row := NumberRow{Name: upper(phrases.Label(string(n.Name))), Value: talk.Said(n.Value, n.Unit), Note: n.Note}
	if n.Load != "" {
		row.Name += " at " + map[derive.Load]string{derive.FullLoad: "full", derive.MinLoad: "lowest"}[n.Load] + " load"
	}
	if n.PlusMinus > 0 {
		row.Value += " ± " + talk.Said(n.PlusMinus, n.Unit)
	}
	var from []string
	for _, k := range n.From {
		from = append(from, phrases.Label(string(k)))
	}
	row.From = strings.Join(from, ", ")
	return row
}
