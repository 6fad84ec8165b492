// Package props answers what a refrigerant does: bubble and dew, density,
// enthalpy, entropy, heat capacities, speed of sound, viscosity and
// conductivity, from published equations of state. It knows nothing of gauges,
// altitude or field readings.
//
// # Fluids
//
// Lookup finds a refrigerant by its R-number as ASHRAE 34 writes it: "R134a",
// "R1234ze(E)", "R448A". Twenty-eight pure fluids (four of them mostly as parts of
// blends) and thirty-five blends are known; refrigerant.Names lists them.
// LookupModel picks the equation:
//
//	pure    the reference equation of the pure fluid, cited in its sheet
//	mix     multi-fluid Helmholtz model, every pair with published parameters
//	mix-lb  as mix, with Lorentz-Berthelot values for at least one pair
//	ppf     pseudo-pure equation (Lemmon 2003) of R404A, R407C, R410A, R507A
//
// The plain name of a blend is the mixture model. Doubt says in one sentence why
// a blend's pressures may be off by more than the rest, and by how much: nine
// blends rest on pairs that nobody measured or fitted well. Bubble and dew are
// never just "saturation": a blend has both.
//
// # Units and reference state
//
// Quantities are the types of refdata/units, SI inside: K, Pa absolute, kg/m3,
// J/kg, J/(kg K), m/s, Pa s, W/(m K). Enthalpy is 200 kJ/kg and entropy
// 1 kJ/(kg K) for saturated (bubble) liquid at 273.15 K, the IIR reference state.
//
// # Two roads
//
// BubbleTemp, DewTemp, BubblePressure and DewPressure read piecewise Chebyshev
// expansions that go generate made from the equations (refdata/refrigerant/curves);
// LiquidAtBubble and VaporAtDew start from them. Everything else solves the
// equations themselves: Bubble, Dew, BubbleAtP, DewAtP, AtTP, AtPH, AtPS. Nothing
// is parsed before its fluid is asked for, and no call keeps state that another
// could see; a Fluid may be used from any number of goroutines.
//
// # Range
//
// Saturation: Span, from 183.15 K (or the highest triple point of the parts) to
// 0.9995 of the critical temperature of a pure fluid, about 0.985 of a blend's or
// pseudo-pure's. Single phase: to the limits of the equations; the hottest limit of
// a blend's parts counts, hot gas being nearly ideal. Close to the critical point of
// a blend (pressure within 0.9..1.35 of the top of its dome, temperature between the
// top and the critical one) nothing is answered.
//
// # Errors
//
//	*UnknownFluidError   no such name or model; Nearest is the likeliest meant
//	*RangeError          outside the span, with what was asked and the span in SI
//	*NoConvergenceError  a solver gave up; there is never a value beside it
//	*TwoPhaseError       temperature and pressure of a pseudo-pure fluid in its dome
//	*NoModelError        transport properties of two phases at once
//
// Nothing is extrapolated in silence, and no answer is NaN: fuzz targets stand over
// every entry point.
//
// # Accuracy, as measured by the tests
//
// The tables under testdata were computed with an open reference library from the
// same publications. Every row is met, those above 0.97 of the critical temperature
// and of mix-lb blends too:
//
//	check_pure, check_blend     1e-9 of h, s, cp, cv, w; 1e-8 of fugacities
//	saturation, incl. T(p)      0.005 K, 0.02 % density, 0.06 kJ/kg, 0.25 J/(kg K); 0.2 % cp and w
//	superheated with isentropes the same
//	subcooled                   the same
//	incipient compositions      1e-6 mole fraction
//	check_transport             1e-6 (R601a viscosity 4e-4)
//	curves against equations    1 mK, both ways
//
// The equations themselves are worse than that: 0.1..0.5 % in vapor pressure and
// density of most pure fluids and fitted pairs, by their papers. Blend viscosity and
// conductivity, where no correlation was published, come from corresponding states
// of the components: within 17 % of the published correlations of R404A, R407C,
// R410A and R507A, expect 15 %. R115 and R1336mzz(E) have no published transport
// model at all and take R134a's in corresponding states, expect 15..20 %. Blend
// conductivity lacks the critical enhancement: up to 10 % of the vapor's at 0.9 of
// the critical temperature, 20 % at 0.95, 36 % at 0.985 (TestPeakThatBlendsLack).
// TransportDoubt says so in a sentence.
//
// # Speed
//
// go test -run '^$' -bench . ./calc/props measures it. On one core of a server of
// 2025 (AMD EPYC), with no allocation in any of them:
//
//	saturation lookup, either way, pure or blend    28..35 ns
//	gas at (T,p), pure                              0.7..1.3 us
//	  R744, with its critical terms                 1.5..1.9 us, 2.2 within a tenth of saturation near the critical point
//	gas at (T,p), blend of five                     2.2..3.9 us
//	first question about a refrigerant              0.1..0.5 ms (BenchmarkFirstUse)
//
// Importing the package costs nothing: no sheet is read before it is asked for.
//
// # Sources
//
// Each sheet in refdata/refrigerant/fluids names its equation of state, viscosity and
// conductivity, pairs.txt the papers of its pairs. The mixture model is that of
// E.W. Lemmon and R.T Jacobsen, J. Phys. Chem. Ref. Data 33 (2004) 593, in the form of
// O. Kunz and W. Wagner, J. Chem. Eng. Data 57 (2012) 3032; pure saturation after
// R. Akasaka, J. Therm. Sci. Technol. 3 (2008) 442. The ideal-gas part of a blend is
// taken at its components' critical points, as the tables are; the literature takes
// the reducing points, which moves h by at most 3.2 J/kg.
package props
