package lexicon

import (
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// unit checks one entry of units.
func (p *parser) unit(n *yaml.Node, u Unit) {
	p.says(n, u.Say)
	if len(u.As) == 0 {
		p.wrong(n, "give as: with a kind and a code of readings.md, such as {pressure: psig}", "a unit without as")
	}
	for kind := range u.As {
		if !knownKind(kind) {
			p.wrong(n, "use one of the kinds of the embedded units.yaml", "unknown kind %q", kind)
		}
	}
}

func knownKind(k Kind) bool {
	if k == Share {
		return true
	}
	for _, v := range kinds {
		if v == k {
			return true
		}
	}
	return false
}

// Code splits "ft/12" and "1000 Btu/h" into a code and what the value is
// multiplied by.
func (u Unit) Code(k Kind) (code units.Code, times float64, ok bool) {
	code, ok = u.As[k]
	times = 1
	if u.Times != 0 {
		times = u.Times
	}
	switch code {
	case "ft/12":
		return units.CodeFeet, times / 12, ok
	case "1000 Btu/h":
		return units.CodeBtuPerHour, times * 1000, ok
	}
	return code, times, ok
}

func (p *parser) reading(n *yaml.Node, r Name) {
	p.says(n, r.Say)
	if len(r.Is) == 0 && !r.Ignore {
		p.wrong(n, "give is: with a key of readings.md, or ignore: true", "a name that is no key")
	}
	keys := append(append(slices.Clone(r.Is), r.Or...), r.Row...)
	for _, b := range r.Beside {
		keys = append(keys, b.Key, b.Then)
	}
	for _, k := range r.Of {
		keys = append(keys, k)
	}
	for _, k := range keys {
		if _, ok := vocab.Define(k); !ok {
			p.wrong(n, "use a key of readings.md"+nearestKey(k), "unknown reading %q", k)
		}
	}
	if r.Only != "" && r.Only != "any" && !knownKind(r.Only) {
		p.wrong(n, "use one of the kinds of units.yaml", "unknown kind %q", r.Only)
	}
}

// nearestKey names the key that shares most letters at its start.
func nearestKey(k vocab.Key) string {
	best, length := vocab.Key(""), 3
	for _, d := range vocab.Definitions() {
		n := 0
		for n < len(k) && n < len(d.Key) && k[n] == d.Key[n] {
			n++
		}
		if n > length {
			best, length = d.Key, n
		}
	}
	if best == "" {
		return ""
	}
	return ", perhaps " + string(best)
}

func (p *parser) value(n *yaml.Node, v Value) {
	p.says(n, v.Say)
	if !vocab.IsFact(string(v.Fact)) {
		p.wrong(n, "use a fact of readings.md", "unknown fact %q", v.Fact)
	}
	if !vocab.IsYesNo(v.Fact) && v.Is == "" {
		p.wrong(n, "give is: with the fact's value", "a fact without a value")
	}
}

func (p *parser) part(n *yaml.Node, v Part) {
	p.says(n, v.Say)
	for _, m := range []map[string]vocab.Finding{v.True, v.False} {
		for condition, f := range m {
			p.finding(n, string(f))
			for c := range strings.SplitSeq(condition, "+") {
				if _, ok := p.into.Conditions[c]; !ok {
					p.wrong(n, "add it under conditions:, above parts:", "unknown condition %q", c)
				}
			}
		}
	}
}

func (p *parser) direct(n *yaml.Node, d Direct) {
	p.says(n, d.Say)
	p.finding(n, strings.TrimPrefix(d.Finding, "!"))
}

func (p *parser) finding(n *yaml.Node, f string) {
	if !vocab.IsFinding(f) {
		p.wrong(n, "use a finding of readings.md", "unknown finding %q", f)
	}
}

func (p *parser) circumstance(n *yaml.Node, c Circumstance) {
	if c.Name == "" || len(c.Says)+len(c.Denied) == 0 {
		p.wrong(n, "give name: and says:", "a circumstance without name or says")
	}
}

func (p *parser) question(n *yaml.Node, q Question) {
	if len(q.Heard) == 0 {
		p.says(n, q.Say)
	}
	for _, h := range append(slices.Clone(q.Heard), Heard{Has: q.Lacks, All: [][]string{q.Say}}) {
		if len(h.All) == 0 && len(h.Has) == 0 {
			p.wrong(n, "give all: with lists of phrases, or has: with kinds or keys", "a question heard in nothing")
		}
		for _, name := range slices.Concat(h.Has, h.Lacks) {
			if _, key := vocab.Define(vocab.Key(name)); !key && !knownKind(Kind(name)) {
				p.wrong(n, "use a kind of units.yaml or a key of readings.md"+nearestKey(vocab.Key(name)), "unknown %q", name)
			}
		}
	}
	if q.About == "" {
		p.wrong(n, "give about: with what is asked for", "a question about nothing")
	}
	for _, t := range q.Take {
		if !knownKind(t.Kind) || t.As == "" {
			p.wrong(n, "give kind: and as:", "a number of no kind, or for nothing")
		}
	}
}

func (p *parser) says(n *yaml.Node, say []string) {
	if len(say) == 0 {
		p.wrong(n, "give say: with the phrases that people type", "nothing to say it with")
	}
}
