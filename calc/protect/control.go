package protect

import (
	"fmt"

	"coldcase/calc/cycle"
	"coldcase/calc/props"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
)

// ControlFault is one thing wrong with a low-pressure control's setting.
type ControlFault string

// The faults of trade-basis 3.4.
const (
	NoDifferential  ControlFault = "cut-in is not above cut-out"
	SmallDifference ControlFault = "differential too small: it will short cycle"
	DeepVacuum      ControlFault = "cut-out below 0 psig: draws air and starves the motor"
	NoWinterRestart ControlFault = "cut-in too high for the coldest air: no restart in winter"
	HoldsOffTheBox  ControlFault = "cut-in dew too near the box: restarts late"
	CutsOutInUse    ControlFault = "cut-out too near the working suction: cuts out in use"
	PullsTooLow     ControlFault = "cut-out far below the working suction: runs long at low flow"
)

// Control is a low-pressure control with what it works against; a zero
// temperature is not known and not checked.
type Control struct {
	CutIn, CutOut units.Gauge
	Pumpdown      bool
	Box           units.Temperature // set point
	Winter        units.Temperature // coldest air, outdoor units
	LowestSuction units.Temperature // lowest design evaporating temperature, dew
}

// ControlCheck is a control's settings in degrees with what is wrong with them.
type ControlCheck struct {
	CutInDew, CutOutDew units.Temperature
	Differential        units.PressureDelta
	WinterPressure      units.Gauge // of the fluid at the coldest air; with Winter set
	Faults              []ControlFault
}

// LowPressureControl checks a low-pressure control's settings.
//
//	cut-in - cut-out >= 8 psi, 10 with pump-down · cut-out >= 0 psig with pump-down
//	dew(cut-in) <= box - 3 F · outdoors cut-in < p_dew(coldest air) - 3 psi
//	cut-out dew 10-25 F under the lowest suction
//
// In:     fluid; control; air around
// Out:    dew temperatures, differential, faults in that order
// Range:  the saturation pressures of the fluid
// Error:  *props.RangeError
// Within: 0.5 F of worked_examples.csv LPC1
// Source: trade-basis 3.4 (common practice)
func LowPressureControl(f *props.Fluid, c Control, air units.Pressure) (ControlCheck, error) {
	var out ControlCheck
	var err error
	if out.CutInDew, err = f.DewTemp(c.CutIn.Abs(air)); err != nil {
		return out, fmt.Errorf("cut-in: %w", err)
	}
	if out.CutOutDew, err = f.DewTemp(c.CutOut.Abs(air)); err != nil {
		return out, fmt.Errorf("cut-out: %w", err)
	}
	out.Differential = c.CutIn.Sub(c.CutOut)
	if c.Winter > 0 {
		p, err := f.DewPressure(c.Winter)
		if err != nil {
			return out, fmt.Errorf("coldest air: %w", err)
		}
		out.WinterPressure = p.Gauge(air)
	}
	out.findFaults(c)
	return out, nil
}

func (out *ControlCheck) findFaults(c Control) {
	least := limits.Value("control_differential_psi")
	if c.Pumpdown {
		least = limits.Value("pumpdown_differential_psi")
	}
	below := c.LowestSuction.Sub(out.CutOutDew).DegreesF()
	for _, check := range []struct {
		wrong bool
		fault ControlFault
	}{
		{out.Differential <= 0, NoDifferential},
		{out.Differential > 0 && out.Differential.PSI() < least, SmallDifference},
		{c.Pumpdown && c.CutOut < 0, DeepVacuum},
		{c.Winter > 0 && c.CutIn.Sub(out.WinterPressure) > -units.PSI(limits.Value("cut_in_below_winter_psi")), NoWinterRestart},
		{c.Box > 0 && c.Box.Sub(out.CutInDew) < units.DegreesF(limits.Value("cut_in_below_box_dF")), HoldsOffTheBox},
		{c.LowestSuction > 0 && below < limits.Value("cut_out_below_suction_low_dF"), CutsOutInUse},
		{c.LowestSuction > 0 && below > limits.Value("cut_out_below_suction_high_dF"), PullsTooLow},
	} {
		if check.wrong {
			out.Faults = append(out.Faults, check.fault)
		}
	}
}

// SuggestControl gives settings that meet every check, or says which bound leaves
// no room.
//
//	cut-in = min(p_dew(box - 3 F), p_dew(coldest air) - 3 psi), rounded down to 1 psi
//	cut-out = min(5 psig, p_dew(lowest suction - 10 F), cut-in - 10 psi)
//
// In:     fluid; control with Box, Winter and LowestSuction where known; air around
// Out:    the control with CutIn and CutOut set
// Range:  the saturation span of the fluid
// Error:  *props.RangeError; *cycle.RangeError when cut-out would fall below 0 psig
// Within: passes LowPressureControl but for PullsTooLow
// Source: trade-basis 3.4 (common practice)
func SuggestControl(f *props.Fluid, c Control, air units.Pressure) (Control, error) {
	in, err := f.DewPressure(c.Box.Add(-units.DegreesF(limits.Value("cut_in_below_box_dF"))))
	if err != nil {
		return c, fmt.Errorf("cut-in: %w", err)
	}
	cutIn := in.Gauge(air).PSIG()
	if c.Winter > 0 {
		cold, err := f.DewPressure(c.Winter)
		if err != nil {
			return c, fmt.Errorf("coldest air: %w", err)
		}
		cutIn = min(cutIn, cold.Gauge(air).PSIG()-limits.Value("cut_in_below_winter_psi")-1)
	}
	cutIn = float64(int(cutIn))
	cutOut := min(limits.Value("cut_out_usual_psig"), cutIn-limits.Value("pumpdown_differential_psi"))
	if c.LowestSuction > 0 {
		low, err := f.DewPressure(c.LowestSuction.Add(-units.DegreesF(limits.Value("cut_out_below_suction_low_dF"))))
		if err != nil {
			return c, fmt.Errorf("cut-out: %w", err)
		}
		cutOut = min(cutOut, float64(int(low.Gauge(air).PSIG())))
	}
	if cutOut < 0 {
		return c, &cycle.RangeError{Quantity: "cut-out, psig", Got: cutOut, Low: 0, High: cutIn - limits.Value("pumpdown_differential_psi")}
	}
	c.CutIn, c.CutOut = units.PSIG(cutIn), units.PSIG(cutOut)
	return c, nil
}
