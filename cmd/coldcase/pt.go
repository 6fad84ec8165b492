package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"coldcase/calc/cycle"
	"coldcase/calc/props"
	"coldcase/refdata/units"
)

// ptAsk is what a pressure-temperature table is wanted for.
type ptAsk struct {
	from, to, step, altitude float64 // °F and ft, or °C and m with si
	si                       bool
}

func runPT(_ context.Context, c console, args []string) error {
	f := newFlags("pt")
	var a ptAsk
	f.Float64Var(&a.from, "from", -40, "first temperature")
	f.Float64Var(&a.to, "to", 120, "last temperature")
	f.Float64Var(&a.step, "step", 5, "step")
	f.Float64Var(&a.altitude, "altitude", 0, "of the site")
	f.BoolVar(&a.si, "si", false, "°C, bar and m")
	name, err := theOne(f, args, "say the refrigerant")
	if err != nil {
		return err
	}
	if !(a.step > 0) || !(a.to >= a.from) || (a.to-a.from)/a.step > 2000 {
		return wrongUsage("--from to --to in steps above 0, 2,000 lines at most")
	}
	fluid, err := props.Lookup(spelled(name))
	if err != nil {
		var unknown *props.UnknownFluidError
		if errors.As(err, &unknown) && unknown.Nearest != "" {
			return wrongUsage("%s is not a refrigerant I know. Did you mean %s?", name, unknown.Nearest)
		}
		return wrongUsage("%s is not a refrigerant I know.", name)
	}
	return ptTable(c.out, fluid, a)
}

// spelled lets 448a and r448a be R448A.
func spelled(name string) string {
	n := strings.ToUpper(name)
	if !strings.HasPrefix(n, "R") {
		n = "R" + n
	}
	if props, err := props.Lookup(n); err == nil {
		return props.Name()
	}
	return "R" + strings.ToLower(strings.TrimPrefix(n, "R"))
}

func ptTable(w io.Writer, f *props.Fluid, a ptAsk) error {
	height := units.Feet(a.altitude)
	if a.si {
		height = units.Meters(a.altitude)
	}
	air, err := cycle.Air(height)
	if err != nil {
		return wrongUsage("altitude: -1,000 to 15,000 ft")
	}
	temp, gauge, glide := "°F", "psig", "glide dF"
	under := fmt.Sprintf("%.3f psia", air.PSIA())
	if a.si {
		temp, gauge, glide = "°C", "bar g", "glide dC"
		under = fmt.Sprintf("%.4f bar", air.Pa()/1e5)
	}
	fmt.Fprintf(w, "%s, gauge at %s of air\n", f.Name(), under)
	if f.Doubt() != "" {
		fmt.Fprintf(w, "Note: %s\n", f.Doubt())
	}
	beyond := false
	fmt.Fprintf(w, "%8s %12s %12s %10s\n", temp, "bubble "+gauge, "dew "+gauge, glide)
	for t := a.from; t <= a.to+1e-9; t += a.step {
		at := units.Fahrenheit(t)
		if a.si {
			at = units.Celsius(t)
		}
		bubble, err1 := f.BubblePressure(at)
		dew, err2 := f.DewPressure(at)
		if err1 != nil || err2 != nil {
			beyond = true
			fmt.Fprintf(w, "%8.1f %12s %12s\n", t, "-", "-")
			continue
		}
		fmt.Fprintf(w, "%8.1f %12s %12s %10s\n", t, gaugeText(bubble, air, a.si), gaugeText(dew, air, a.si), glideText(f, bubble, a.si))
	}
	if beyond {
		low, high := f.Span()
		from, to := low.F(), high.F()
		if a.si {
			from, to = low.C(), high.C()
		}
		fmt.Fprintf(w, "- : outside %.0f to %.0f %s, where %s has no liquid and vapor that is answered\n", from, to, temp, f.Name())
	}
	return nil
}

func gaugeText(p, air units.Pressure, si bool) string {
	g := p.Gauge(air)
	switch {
	case si:
		return fmt.Sprintf("%.2f", g.BarG())
	case g < 0:
		return fmt.Sprintf("%.1f inHg", g.InHgVacuum())
	}
	return fmt.Sprintf("%.1f", g.PSIG())
}

// glideText is dew less bubble at the bubble pressure.
func glideText(f *props.Fluid, p units.Pressure, si bool) string {
	dew, err1 := f.DewTemp(p)
	bubble, err2 := f.BubbleTemp(p)
	if err1 != nil || err2 != nil {
		return "-"
	}
	if si {
		return fmt.Sprintf("%.1f", dew.Sub(bubble).DegreesC())
	}
	return fmt.Sprintf("%.1f", dew.Sub(bubble).DegreesF())
}
