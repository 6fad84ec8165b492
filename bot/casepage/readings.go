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

// visits are the readings as typed, by visit; those that a later one of the same
// visit and state replaced stand beside it, in order.
func (s Story) visits(zone *time.Location) []Visit {
	at := map[slot]int{}
	var out []Visit
	for _, o := range s.Record.Observations {
		if len(out) == 0 || out[len(out)-1].Number != o.Visit {
			out = append(out, Visit{Number: o.Visit, At: o.At.In(zone)})
		}
		d, _ := vocab.Define(o.Key)
		v := &out[len(out)-1]
		row := ReadingRow{Name: upper(phrases.Label(string(o.Key))), What: what(o, d), Value: together(typed(o, d))}
		if i, had := at[slotOf(o)]; had {
			v.Rows[i].replace(row)
			continue
		}
		at[slotOf(o)] = len(v.Rows)
		v.Rows = append(v.Rows, row)
	}
	return out
}

func (r *ReadingRow) replace(by ReadingRow) {
	if r.Earlier != "" {
		r.Earlier += ", "
	}
	by.Earlier = r.Earlier + r.Value
	*r = by
}

// together keeps a figure and its unit on one line.
func together(figure string) string { return strings.ReplaceAll(figure, " ", "\u00a0") }

func typed(o derive.Observation, d vocab.Definition) string {
	if d.Quantity == vocab.TubeSize && o.Unit == units.CodeInch {
		return reply.Inches(o.Value)
	}
	return strconv.FormatFloat(o.Value, 'f', -1, 64) + " " + talk.UnitWord(o.Unit)
}

// what says a reading in anybody's words, with what is to be known about it.
func what(o derive.Observation, d vocab.Definition) string {
	text := d.What
	if o.State == vocab.Standing && (d.Quantity == vocab.GaugePressure || d.Quantity == vocab.Temperature) {
		text += "; machine at rest"
	}
	if o.Assumed {
		text += "; unit assumed"
	}
	if o.Approx {
		text += "; approximate"
	}
	if o.Settling {
		text += "; not settled yet"
	}
	return text
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
	row := NumberRow{Name: upper(phrases.Label(string(n.Name))), Value: together(talk.Said(n.Value, n.Unit)), Note: n.Note}
	if n.Load != "" {
		row.Name += " at " + map[derive.Load]string{derive.FullLoad: "full", derive.MinLoad: "lowest"}[n.Load] + " load"
	}
	if n.PlusMinus > 0 {
		row.Spread = together("± " + talk.Said(n.PlusMinus, n.Unit))
	}
	var from []string
	for _, k := range n.From {
		from = append(from, phrases.Label(string(k)))
	}
	row.From = strings.Join(from, ", ")
	return row
}
