package props

import (
	"fmt"
	"testing"

	"coldcase/refdata/units"
)

func benchFluids(b *testing.B, names []string, run func(b *testing.B, f *Fluid)) {
	for _, name := range names {
		b.Run(name, func(b *testing.B) {
			f, err := Lookup(name)
			if err != nil {
				b.Fatal(err)
			}
			b.ReportAllocs()
			for b.Loop() {
				run(b, f)
			}
		})
	}
}

var both = []string{"R134a", "R448A"}

func BenchmarkDewTemp(b *testing.B) {
	p := units.Pascal(3e5)
	benchFluids(b, both, func(b *testing.B, f *Fluid) {
		if _, err := f.DewTemp(p); err != nil {
			b.Fatal(err)
		}
	})
}

func BenchmarkDewPressure(b *testing.B) {
	at := units.Kelvin(260)
	benchFluids(b, both, func(b *testing.B, f *Fluid) {
		if _, err := f.DewPressure(at); err != nil {
			b.Fatal(err)
		}
	})
}

// Exact states by the equations from here on.
func BenchmarkGasAtTP(b *testing.B) {
	at, p := units.Kelvin(290), units.Pascal(2e5)
	benchFluids(b, []string{"R134a", "R22", "R290", "R717", "R744", "R1234yf", "R448A", "R438A"}, func(b *testing.B, f *Fluid) {
		if _, err := f.AtTP(at, p); err != nil {
			b.Fatal(err)
		}
	})
}

// Dense gas takes more steps, above all that of R744, whose critical terms count
// there: in a gas cooler, near the dome, and above the fast curves.
func BenchmarkDenseGasAtTP(b *testing.B) {
	for _, c := range []struct {
		at    units.Temperature
		p     units.Pressure
		names []string
	}{
		{360, 4e6, []string{"R744", "R32", "R717"}},
		{285, 4.2e6, []string{"R744"}},
		{300, 5e5, []string{"R744"}},
		{300, 5e6, []string{"R744"}},
		{305, 7.2e6, []string{"R744"}},
		{330, 9e6, []string{"R744"}},
		{310, 1.2e7, []string{"R744"}},
	} {
		b.Run(fmt.Sprintf("%gK,%gMPa", c.at, c.p/1e6), func(b *testing.B) {
			benchFluids(b, c.names, func(b *testing.B, f *Fluid) {
				if _, err := f.AtTP(c.at, c.p); err != nil {
					b.Fatal(err)
				}
			})
		})
	}
}

func BenchmarkLiquidAtTP(b *testing.B) {
	at, p := units.Kelvin(290), units.Pascal(3e6)
	benchFluids(b, both, func(b *testing.B, f *Fluid) {
		if _, err := f.AtTP(at, p); err != nil {
			b.Fatal(err)
		}
	})
}

func BenchmarkDewAtP(b *testing.B) {
	p := units.Pascal(6e5)
	benchFluids(b, both, func(b *testing.B, f *Fluid) {
		if _, err := f.DewAtP(p); err != nil {
			b.Fatal(err)
		}
	})
}

func BenchmarkIsentrope(b *testing.B) {
	p, s := units.Pascal(1.5e6), units.JoulesPerKilogramKelvin(1800)
	benchFluids(b, both, func(b *testing.B, f *Fluid) {
		if _, err := f.AtPS(p, s); err != nil {
			b.Fatal(err)
		}
	})
}

// What the first question about a refrigerant costs: its sheets are read then.
func BenchmarkFirstUse(b *testing.B) {
	for _, name := range both {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := loadFluid(name, ""); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
