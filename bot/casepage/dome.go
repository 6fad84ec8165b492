package casepage

import (
	"fmt"
	"slices"

	"coldcase/calc/props"
	"coldcase/refdata/units"
)

// Dome is the saturation line of a refrigerant, from cold to hot, and its top.
type Dome struct {
	Bubble, Dew []props.State
	Top         units.Pressure
}

const domeSteps = 48

// DomeOf computes it.
func DomeOf(f *props.Fluid) (Dome, error) {
	low, high := f.Span()
	var d Dome
	for i := range domeSteps + 1 {
		// closer together towards the top, where the line bends
		rest := float64(domeSteps-i) / domeSteps
		t := high.Add(units.TempDelta(-float64(high-low) * rest * rest))
		if s, err := f.LiquidAtBubble(t); err == nil {
			d.Bubble = append(d.Bubble, s)
		}
		if p, err := f.DewPressure(t); err == nil {
			if s, err := f.VaporAtDew(p); err == nil {
				d.Dew = append(d.Dew, s)
			}
		}
	}
	if len(d.Bubble) < 2 || len(d.Dew) < 2 {
		return d, fmt.Errorf("no saturation dome for %s", f.Name())
	}
	_, d.Top = f.Critical()
	d.Top = max(d.Top, d.Bubble[len(d.Bubble)-1].P, d.Dew[len(d.Dew)-1].P)
	return d, nil
}

func (d Dome) bottom() units.Pressure { return min(d.Bubble[0].P, d.Dew[0].P) }

// crown rounds the dome off over the few kelvins that saturation is not solved for:
// from the last bubble point to the critical pressure and down to the last dew point,
// leaving both lines in their own direction.
func (d Dome) crown() []props.State {
	from, to := d.Bubble[len(d.Bubble)-1], d.Dew[len(d.Dew)-1]
	top := props.State{H: from.H + units.Enthalpy(float64(to.H-from.H)/2), P: d.Top}
	return append(bow(d.Bubble[len(d.Bubble)-2], from, top), reversed(bow(d.Dew[len(d.Dew)-2], to, top))...)
}

// bow is a curve from where a line ends to a level top.
func bow(before, end, top props.State) []props.State {
	const steps = 6
	rise, run := float64(top.P-end.P), float64(top.H-end.H)
	leave := 0.0 // enthalpy for each pascal at the end of the line
	if climb := float64(end.P - before.P); climb > 0 {
		leave = float64(end.H-before.H) / climb
	}
	var out []props.State
	for i := 1; i <= steps; i++ {
		x := float64(i) / steps
		// cubic from (0, 0) in the line's direction to (run, rise), level there
		h := run*(3*x*x-2*x*x*x) + (leave*rise*1.5)*(x-2*x*x+x*x*x) + run*1.5*(x*x*x-x*x)
		p := rise*(3*x*x-2*x*x*x) + rise*1.5*(x-2*x*x+x*x*x)
		out = append(out, props.State{H: end.H + units.Enthalpy(h), P: end.P + units.Pressure(p)})
	}
	return out
}

func reversed(states []props.State) []props.State {
	slices.Reverse(states)
	return states
}

// across is from where to where the dome reaches at a pressure.
func (d Dome) across(p units.Pressure) (from, to units.Enthalpy) {
	return enthalpyAt(d.Bubble, p), enthalpyAt(d.Dew, p)
}

// enthalpyAt is on the line between the two states around p, else of the nearer end.
func enthalpyAt(line []props.State, p units.Pressure) units.Enthalpy {
	for i := 1; i < len(line); i++ {
		if a, b := line[i-1], line[i]; p <= b.P {
			share := float64(max(p, a.P)-a.P) / float64(b.P-a.P)
			return a.H + units.Enthalpy(share)*(b.H-a.H)
		}
	}
	return line[len(line)-1].H
}
