package limits

// Verdict is how a number stands against its limits (trade-basis, verdict scale).
type Verdict string

// The verdicts, mildest first.
const (
	OK    Verdict = "ok"
	Ask   Verdict = "ask"   // the input is doubtful
	Watch Verdict = "watch" // say it, do not alarm
	Bad   Verdict = "bad"   // act
	Stop  Verdict = "stop"  // shut down, do not start
)

var severity = map[Verdict]int{OK: 0, Ask: 1, Watch: 2, Bad: 3, Stop: 4}

// Worse reports whether v weighs more than w.
func (v Verdict) Worse(w Verdict) bool { return severity[v] > severity[w] }

// Worst is the heaviest of several; none gives OK.
func Worst(all ...Verdict) Verdict {
	worst := OK
	for _, v := range all {
		if v.Worse(worst) {
			worst = v
		}
	}
	return worst
}

// Rising judges a number that is worse the higher it is. A limit that does not
// exist is passed as the next one.
func Rising(got, watch, bad, stop float64) Verdict {
	switch {
	case got > stop:
		return Stop
	case got > bad:
		return Bad
	case got > watch:
		return Watch
	}
	return OK
}

// Falling judges a number that is worse the lower it is.
func Falling(got, watch, bad, stop float64) Verdict {
	switch {
	case got < stop:
		return Stop
	case got < bad:
		return Bad
	case got < watch:
		return Watch
	}
	return OK
}
