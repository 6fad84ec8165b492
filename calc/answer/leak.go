package answer

import (
	"coldcase/calc/service"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

func (a *asked) leakRate() {
	if a.has(LeakPct, vocab.SystemCharge) && !a.has(vocab.ChargeAdded) {
		a.holdToRule(units.Fraction(a.si(LeakPct)).Percent(), units.Mass(a.si(vocab.SystemCharge)))
		return
	}
	if a.has(vocab.SystemCharge) && !a.has(vocab.ChargeAdded) {
		a.threshold(units.Mass(a.si(vocab.SystemCharge)))
	}
	if !a.has(vocab.SystemCharge) {
		a.r.Missing = append(a.r.Missing, Missing{Key: vocab.SystemCharge, Why: "the full charge of the system"})
	}
	if !a.need(vocab.ChargeAdded) {
		return
	}
	added, full := units.Mass(a.si(vocab.ChargeAdded)), units.Mass(a.si(vocab.SystemCharge))
	var rate units.Fraction
	var err error
	if a.has(SinceAdded) {
		rate, err = service.AnnualizedLeakRate(added, full, units.Duration(a.si(SinceAdded)))
		a.assume("annualizing method; use the facility's one method throughout")
	} else {
		rate, err = service.RollingLeakRate(added, full)
		a.assume("all of it within the last 365 days (rolling method); say how many days since the last addition to annualize")
	}
	if a.fail(err) {
		return
	}
	a.plain("leak_rate_pct_per_year", rate.Percent(), units.CodePercent)
	a.judge(limits.Rising(rate.Percent(), limits.Value("leak_watch_pct"), 100, 125))
	a.line("leak rate %.1f %% a year", rate.Percent())
	a.holdToRule(rate.Percent(), full)
}

// threshold is the limit that holds for a charge.
func (a *asked) threshold(full units.Mass) {
	if rule, ok := limits.LeakRuleFor(a.part(), "commercial", full.Pounds(), a.q.On); ok {
		a.assume("commercial refrigeration; verify the current rule, states can be stricter")
		a.line("leak-rate limit %.0f %% a year (40 CFR part %s)", rule.RatePct, rule.Part)
	}
}

// part of 40 CFR by the refrigerant: 82 for what depletes ozone, else 84.
func (a *asked) part() string {
	switch a.q.Refrigerant {
	case "R22", "R502", "R12", "R401A", "R402A", "R408A", "R409A":
		return "82"
	}
	return "84"
}

// holdToRule compares with the dated threshold of commercial refrigeration.
func (a *asked) holdToRule(pct float64, full units.Mass) {
	part := a.part()
	rule, ok := limits.LeakRuleFor(part, "commercial", full.Pounds(), a.q.On)
	if !ok {
		a.line("no leak-rate limit of 40 CFR part %s holds for %s of commercial refrigeration on that day; verify, states can be stricter", part, a.sayMass(full))
		return
	}
	a.assume("commercial refrigeration; verify the current rule, states can be stricter")
	a.plain("leak_threshold", rule.RatePct, units.CodePercent)
	if pct > rule.RatePct {
		a.judge(limits.Bad)
		a.line("over the %.0f %% of 40 CFR part %s: repair within 30 days", rule.RatePct, rule.Part)
		return
	}
	a.line("under the %.0f %% of 40 CFR part %s", rule.RatePct, rule.Part)
}
