package intake

import (
	"fmt"

	"coldcase/refdata/limits"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// put makes a reading of a number, unless it can't physically be: then it is
// asked about and not used.
func (p *parse) put(q *quantity, key vocab.Key) {
	q.used = true
	p.take(q.from, q.to)
	def, ok := vocab.Define(key)
	if !ok {
		return
	}
	r := vocab.Reading{Key: key, Value: q.value, Unit: def.Bare, Assumed: true, Approx: q.approx}
	if q.unit != nil && q.unit.Code != "" {
		r.Value, r.Unit, r.Assumed = q.converted(), p.unitFor(def, q), q.unit.Assumed
	}
	if q.fraction && def.Quantity == vocab.TubeSize {
		r.Assumed = q.unit == nil
	}
	r.Span = &[2]int{p.t[q.from].Start, p.t[q.to-1].End}
	if why, bad := implausible(r, p.refrigerant()); bad {
		p.ask(string(key), why)
		p.drop(key)
		return
	}
	p.replace(Reading{Reading: r}, q.core)
}

// replace lets a later value of the same message take the place of an earlier.
func (p *parse) replace(r Reading, at int) {
	for i := range p.m.Readings {
		if p.m.Readings[i].Key == r.Key {
			p.m.Corrected = append(p.m.Corrected, r.Key)
			p.m.Readings[i], p.readAt[i] = r, at
			return
		}
	}
	p.m.Readings, p.readAt = append(p.m.Readings, r), append(p.readAt, at)
}

// drop takes a reading back that a later doubt concerns.
func (p *parse) drop(key vocab.Key) {
	for i := range p.m.Readings {
		if p.m.Readings[i].Key == key {
			p.m.Readings = append(p.m.Readings[:i], p.m.Readings[i+1:]...)
			p.readAt = append(p.readAt[:i], p.readAt[i+1:]...)
			return
		}
	}
}

func (p *parse) refrigerant() string {
	if r := p.m.Facts[vocab.Refrigerant]; r != "" {
		return r
	}
	return p.ctx.Refrigerant
}

// converted is the value in the unit's output code.
func (q *quantity) converted() float64 {
	v := q.value
	if q.unit.Times != 0 {
		v *= q.unit.Times
	}
	if q.unit.Divide != 0 {
		v /= q.unit.Divide
	}
	return v
}

// unitFor settles units that mean different things for different keys: pounds,
// degrees of difference, psi of a drop.
func (p *parse) unitFor(def vocab.Definition, q *quantity) units.Code {
	code := q.unit.Code
	switch def.Quantity {
	case vocab.GaugePressure:
		if code == units.CodePound {
			return units.CodePSIG
		}
	case vocab.PressureDrop:
		if code == units.CodePound || code == units.CodePSIG {
			return units.CodePSI
		}
	case vocab.TempDifference:
		switch code {
		case units.CodeF:
			return units.CodeDegreesF
		case units.CodeC:
			return units.CodeDegreesC
		}
	}
	return code
}

// implausible holds a reading against what the thing can physically be.
func implausible(r vocab.Reading, refrigerant string) (why string, bad bool) {
	span, ok := limits.Plausible(r.Key, refrigerant)
	if !ok {
		return "", false
	}
	v, err := inUnitOf(r, span.Unit)
	if err != nil {
		return fmt.Sprintf("%s can't be in that unit.", def(r.Key)), true
	}
	if r.Unit == units.CodePercent {
		return "", false
	}
	if v < span.Low || v > span.High {
		return fmt.Sprintf("%s %g %s can't be right.", def(r.Key), r.Value, r.Unit), true
	}
	return "", false
}

func def(k vocab.Key) string {
	d, _ := vocab.Define(k)
	return d.What
}

// inUnitOf converts a reading to the unit of its limits.
func inUnitOf(r vocab.Reading, unit units.Code) (float64, error) {
	const seaLevel = 101325 // Pa: near enough to tell the impossible
	v, err := vocab.SI(r, seaLevel)
	if err != nil {
		return 0, err
	}
	one, err := vocab.SI(vocab.Reading{Key: r.Key, Value: 1, Unit: unit}, seaLevel)
	if err != nil {
		return 0, err
	}
	zero, err := vocab.SI(vocab.Reading{Key: r.Key, Value: 0, Unit: unit}, seaLevel)
	if err != nil {
		return 0, err
	}
	return (v - zero) / (one - zero), nil
}
