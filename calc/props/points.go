package props

import (
	"fmt"
	"math"
	"strings"

	"coldcase/refdata/refrigerant"
	"coldcase/refdata/units"
)

// Critical is the critical point. Of a blend it is an estimate: where the
// densities of liquid and first bubble meet when their difference, which falls
// about as (Tc - T)^0.35, is carried on from the top of the solved bubble line.
// Within 1.5 K of the published critical temperatures of R404A, R407C, R410A and
// R507A (TestCritical).
func (f *Fluid) Critical() (units.Temperature, units.Pressure) {
	if f.pCrit > 0 {
		return units.Temperature(f.tCrit), units.Pressure(f.pCrit)
	}
	t, p := f.critical()
	return units.Temperature(t), units.Pressure(p)
}

func (f *Fluid) estimateCritical() (t, p float64) {
	_, high := f.satSpan()
	const back, power = 4, 1 / 0.35 // K
	top, err1 := f.saturation(bubble, high)
	below, err2 := f.saturation(bubble, high-back)
	if err1 != nil || err2 != nil {
		return f.tCrit, 0
	}
	gap := math.Pow((top.rhoLiq-top.rhoVap)/(below.rhoLiq-below.rhoVap), power)
	t = high + back*gap/(1-gap)
	slope := math.Log(top.p/below.p) / (1/(high-back) - 1/high)
	return t, top.p * math.Exp(slope*(1/high-1/t))
}

// Points makes the sheet of boiling and critical points that refdata carries.
func Points() (string, error) {
	var out strings.Builder
	out.WriteString("# Boiling points at 101325 Pa and critical points, made by go generate from the equations of state. Do not edit.\n")
	for _, name := range refrigerant.Names() {
		f, err := Lookup(name)
		if err != nil {
			return "", err
		}
		t, p := f.Critical()
		fmt.Fprintf(&out, "\n[%s]\ncritical_T_K %.6g\ncritical_p_Pa %.6g\n", name, float64(t), float64(p))
		const atmosphere = 101325
		if low, _ := f.satSpan(); f.belowSpan(atmosphere, low) {
			continue // R744 is solid at that pressure
		}
		for _, s := range []side{bubble, dew} {
			at, err := f.tempAt(s, atmosphere)
			if err != nil {
				return "", err
			}
			fmt.Fprintf(&out, "boiling_%s_K %.7g\n", s, at)
		}
	}
	return out.String(), nil
}

func (f *Fluid) belowSpan(p, low float64) bool {
	least, err := f.pressureAt(dew, low)
	return err == nil && p < least
}
