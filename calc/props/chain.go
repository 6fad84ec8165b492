package props

import (
	"fmt"
	"math"
	"sort"
)

// chain is a blend's saturation line, solved step by step from a temperature
// where the start is easy. Each later problem starts at its nearest link.
type chain struct {
	side  side
	links []link // rising in temperature
}

type link struct {
	t, lnP float64
	u      [maxUnknowns]float64
}

const (
	easyStart  = 0.72   // of the critical temperature; a start at 213 K often fails
	topOfChain = 0.985  // of the critical temperature
	slowFrom   = 0.93   // of the critical temperature: short steps from here
	chainLow   = 183.15 // K, below every use in the trade
)

// march solves the whole line once.
func (m *model) march(s side, tCrit float64) (*chain, error) {
	first, err := m.firstLink(s, easyStart*tCrit)
	if err != nil {
		return nil, err
	}
	low, high := max(m.tLow, chainLow), topOfChain*tCrit
	down := m.marchTo(s, first, low, -5, tCrit)
	up := m.marchTo(s, first, high, 5, tCrit)
	c := &chain{side: s}
	for i := len(down) - 1; i >= 0; i-- {
		c.links = append(c.links, down[i])
	}
	c.links = append(append(c.links, first), up...)
	return c, nil
}

// firstLink starts from the components' vapor pressures and liquid volumes.
func (m *model) firstLink(s side, t float64) (link, error) {
	n := len(m.parts)
	v := vle{m: m, side: s, t: t}
	p := 0.0
	for i, c := range m.parts {
		if s == bubble {
			p += m.x[i] * c.vaporPressure(t)
		} else {
			p += m.x[i] / c.vaporPressure(t)
		}
	}
	if s == dew {
		p = 1 / p
	}
	for i, c := range m.parts {
		v.u[atLnK+i] = math.Log(c.vaporPressure(t) / p)
	}
	var f phases
	v.compositions(&v.u, &f)
	volume := 0.0
	for i := range n {
		volume += f.x[i] / m.parts[i].liquidDensity(t)
	}
	v.u[atLnLiq], v.u[atLnVap] = -math.Log(volume), math.Log(p/(m.gasR*t))
	return v.link()
}

func (v *vle) link() (link, error) {
	s, err := v.solve()
	if err != nil {
		return link{}, err
	}
	return link{t: s.t, lnP: math.Log(s.p), u: v.u}, nil
}

// marchTo walks from a link to the end, halving a step that fails; the line
// ends where even a short step does.
func (m *model) marchTo(s side, from link, end, stride, tCrit float64) []link {
	var links []link
	last, before := from, from
	for step := stride; math.Abs(end-last.t) > 1e-9; {
		if last.t > slowFrom*tCrit {
			step = math.Copysign(min(math.Abs(step), 1), stride)
		}
		t := last.t + step
		if (end-t)*step < 0 {
			t = end
		}
		v := vle{m: m, side: s, t: t, u: extrapolate(before, last, t, len(m.parts)+2)}
		next, err := v.link()
		if err != nil {
			if step /= 2; math.Abs(step) < 0.05 {
				break
			}
			continue
		}
		before, last = last, next
		links = append(links, next)
		step = stride
	}
	return links
}

func extrapolate(a, b link, t float64, n int) [maxUnknowns]float64 {
	u := b.u
	if a.t == b.t {
		return u
	}
	w := (t - b.t) / (b.t - a.t)
	for i := range n {
		u[i] += w * (b.u[i] - a.u[i])
	}
	return u
}

// span is where the line was solved.
func (c *chain) span() (low, high float64) { return c.links[0].t, c.links[len(c.links)-1].t }

// atT solves the line at t.
func (c *chain) atT(m *model, t float64) (saturated, error) {
	low, high := c.span()
	if t < low-1e-9 || t > high+1e-9 {
		return saturated{}, &RangeError{Quantity: c.side.String() + " temperature", Fluid: m.name, Got: t, Low: low, High: high}
	}
	i := sort.Search(len(c.links), func(i int) bool { return c.links[i].t >= t })
	v := vle{m: m, side: c.side, t: t, u: c.between(i, func(l link) float64 { return l.t }, t, len(m.parts)+2)}
	return v.solve()
}

// atP solves the line at p.
func (c *chain) atP(m *model, p float64) (saturated, error) {
	lnP := math.Log(p)
	low, high := c.links[0], c.links[len(c.links)-1]
	if !(lnP >= low.lnP-1e-9 && lnP <= high.lnP+1e-9) {
		return saturated{}, &RangeError{Quantity: c.side.String() + " pressure", Fluid: m.name, Got: p, Low: math.Exp(low.lnP), High: math.Exp(high.lnP)}
	}
	i := sort.Search(len(c.links), func(i int) bool { return c.links[i].lnP >= lnP })
	n := len(m.parts) + 2
	v := vle{m: m, side: c.side, p: p, u: c.between(i, func(l link) float64 { return l.lnP }, lnP, n)}
	a, b := c.around(i)
	v.t = a.t + (b.t-a.t)*(lnP-a.lnP)/(b.lnP-a.lnP)
	v.u[n] = math.Log(v.t)
	s, err := v.solve()
	if err != nil {
		return s, fmt.Errorf("at %g Pa: %w", p, err)
	}
	return s, nil
}

func (c *chain) around(i int) (a, b link) {
	i = min(max(i, 1), len(c.links)-1)
	return c.links[i-1], c.links[i]
}

func (c *chain) between(i int, of func(link) float64, at float64, n int) [maxUnknowns]float64 {
	a, b := c.around(i)
	w := (at - of(a)) / (of(b) - of(a))
	u := a.u
	for k := range n {
		u[k] += w * (b.u[k] - a.u[k])
	}
	return u
}
