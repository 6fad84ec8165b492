package props

import (
	"math"
	"strconv"
	"strings"

	"coldcase/refdata/refrigerant"
)

// table holds the saturation curves of one fluid as piecewise Chebyshev
// expansions, made from the engine by Curves and embedded in refdata: ln p over
// T and T over ln p, for each side.
type table struct {
	tCrit          float64 // K
	hShift, sShift float64 // J/kg, J/(kg K)
	pressure       [2]curve
	temperature    [2]curve
}

// curve is one function over equal pieces of its span.
type curve struct {
	low, high float64
	perUnit   float64 // pieces per unit of the argument
	pieces    [][curveTerms]float64
}

const (
	curveTerms  = 12 // coefficients a piece
	fewPieces   = 6
	manyPieces  = 96
	curveTolLnP = 2e-6 // about 0.05 mK
	curveTolT   = 5e-5 // K
)

// covers reports whether x lies in the span.
func (c *curve) covers(x float64) bool { return x >= c.low && x <= c.high }

// at sums the expansion by Clenshaw's recurrence.
func (c *curve) at(x float64) float64 {
	i := int((x - c.low) * c.perUnit)
	if i >= len(c.pieces) {
		i = len(c.pieces) - 1
	}
	k := &c.pieces[i]
	y := 2*((x-c.low)*c.perUnit-float64(i)) - 1
	y2 := 2 * y
	b1, b2 := 0.0, 0.0
	for j := curveTerms - 1; j > 0; j-- {
		b1, b2 = y2*b1-b2+k[j], b1
	}
	return y*b1 - b2 + k[0]
}

// fit expands f over the span in as many pieces as it takes to keep between the
// nodes: near the critical point a line bends too sharply for few.
func fit(f func(x float64) (float64, error), low, high, tol float64) (curve, error) {
	for pieces := fewPieces; ; pieces *= 2 {
		c, err := fitPieces(f, low, high, pieces)
		if err != nil || pieces >= manyPieces {
			return c, err
		}
		worst, err := c.worst(f)
		if err != nil || worst < tol {
			return c, err
		}
	}
}

// worst is the largest miss at points between the nodes.
func (c *curve) worst(f func(x float64) (float64, error)) (float64, error) {
	const points = 8 // a piece, the ends of the span among them
	worst, n := 0.0, points*len(c.pieces)
	for i := range n + 1 {
		x := c.low + (c.high-c.low)*float64(i)/float64(n)
		v, err := f(min(x, c.high))
		if err != nil {
			return 0, err
		}
		worst = max(worst, math.Abs(c.at(x)-v))
	}
	return worst, nil
}

// fitPieces expands f at the Chebyshev nodes of each piece.
func fitPieces(f func(x float64) (float64, error), low, high float64, pieces int) (curve, error) {
	c := curve{low: low, high: high, perUnit: float64(pieces) / (high - low)}
	for i := range pieces {
		var values, k [curveTerms]float64
		for j := range values {
			node := math.Cos(math.Pi * (float64(j) + 0.5) / curveTerms)
			x := low + (float64(i)+(node+1)/2)/c.perUnit
			v, err := f(x)
			if err != nil {
				return c, err
			}
			values[j] = v
		}
		for n := range k {
			for j, v := range values {
				k[n] += v * math.Cos(math.Pi*float64(n)*(float64(j)+0.5)/curveTerms)
			}
			k[n] *= 2.0 / curveTerms
		}
		k[0] /= 2
		c.pieces = append(c.pieces, k)
	}
	return c, nil
}

var sideNames = [2]string{bubble: "bubble", dew: "dew"}

// Curves makes the sheet of saturation curves of one fluid from the equation of
// state; go generate writes it to refdata.
func Curves(name, model string) (string, error) {
	f, err := LookupModel(name, model)
	if err != nil {
		return "", err
	}
	var out strings.Builder
	number := func(key string, v ...float64) {
		out.WriteString(key)
		for _, x := range v {
			out.WriteString(" " + strconv.FormatFloat(x, 'g', 13, 64))
		}
		out.WriteByte('\n')
	}
	h, s, err := f.referenceShift()
	if err != nil {
		return "", err
	}
	low, high := f.satSpan()
	if f.model == ModelPure {
		high = topOfChain * f.tCrit
	}
	out.WriteString("# Saturation curves of " + name + " (" + f.model + "), made by go generate from the equation of state. Do not edit.\n\n[curves]\n")
	number("critical_T_K", f.tCrit)
	number("h_shift_J_kg", h)
	number("s_shift_J_kgK", s)
	for _, sd := range f.sides() {
		if err := f.writeSide(&out, number, sd, max(low, chainLow), high); err != nil {
			return "", err
		}
	}
	return out.String(), nil
}

func (f *Fluid) writeSide(out *strings.Builder, number func(string, ...float64), sd side, low, high float64) error {
	lnP := func(t float64) (float64, error) {
		at, err := f.saturation(sd, t)
		return math.Log(at.p), err
	}
	p, err := fit(lnP, low, high, curveTolLnP)
	if err != nil {
		return err
	}
	first, err := f.saturation(sd, low)
	if err != nil {
		return err
	}
	last, err := f.saturation(sd, high)
	if err != nil {
		return err
	}
	lnLow, lnHigh := math.Log(first.p), math.Log(last.p)
	t, err := fit(func(l float64) (float64, error) {
		at, err := f.saturationAtP(sd, min(max(math.Exp(l), first.p), last.p))
		return at.t, err
	}, lnLow, lnHigh, curveTolT)
	if err != nil {
		return err
	}
	for _, c := range []struct {
		name string
		curve
	}{{"ln_p", p}, {"T", t}} {
		out.WriteString("\n[" + sideNames[sd] + "." + c.name + "]\n")
		number("span", c.low, c.high)
		number("pieces", float64(len(c.pieces)))
		for i, piece := range c.pieces {
			number("piece"+strconv.Itoa(i), piece[:]...)
		}
	}
	return nil
}

// sides that differ: a pure fluid has one line.
func (f *Fluid) sides() []side {
	if f.model == ModelPure {
		return []side{dew}
	}
	return []side{bubble, dew}
}

// readTable reads the curves of a fluid; nil when they have not been made.
func readTable(name, model string) (*table, error) {
	s, err := refrigerant.OpenCurves(name, model)
	if s == nil || err != nil {
		return nil, err
	}
	t := new(table)
	for key, to := range map[string]*float64{"critical_T_K": &t.tCrit, "h_shift_J_kg": &t.hShift, "s_shift_J_kgK": &t.sShift} {
		if *to, err = s.Number("curves", key); err != nil {
			return nil, err
		}
	}
	for sd, name := range sideNames {
		if !s.Has(name + ".T") {
			name = sideNames[dew]
		}
		if t.pressure[sd], err = readCurve(s, name+".ln_p"); err != nil {
			return nil, err
		}
		if t.temperature[sd], err = readCurve(s, name+".T"); err != nil {
			return nil, err
		}
	}
	return t, nil
}

func readCurve(s *refrigerant.Sheet, section string) (curve, error) {
	span, err := s.Numbers(section, "span")
	if err != nil {
		return curve{}, err
	}
	if len(span) != 2 {
		return curve{}, &SheetError{Section: section, Problem: "span needs two numbers"}
	}
	n, err := s.Number(section, "pieces")
	if err != nil {
		return curve{}, err
	}
	if !(n >= 1 && n <= manyPieces) {
		return curve{}, &SheetError{Section: section, Problem: "as many pieces can't be"}
	}
	c := curve{low: span[0], high: span[1], perUnit: n / (span[1] - span[0]), pieces: make([][curveTerms]float64, int(n))}
	for i := range c.pieces {
		k, err := s.Numbers(section, "piece"+strconv.Itoa(i))
		if err != nil {
			return curve{}, err
		}
		if copy(c.pieces[i][:], k) != curveTerms {
			return curve{}, &SheetError{Section: section, Problem: "piece has too few coefficients"}
		}
	}
	return c, nil
}
