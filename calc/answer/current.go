package answer

import (
	"slices"

	"coldcase/calc/elec"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// current tells how uneven the amps are, where that comes from, and how loaded.
func (a *asked) current() {
	if !a.need(vocab.AmpsA, vocab.AmpsB, vocab.AmpsC) {
		return
	}
	amps := [3]float64{a.si(vocab.AmpsA), a.si(vocab.AmpsB), a.si(vocab.AmpsC)}
	u, err := elec.Unbalance(amps[0], amps[1], amps[2])
	if a.fail(err) {
		return
	}
	a.plain("current_unbalance", u.Percent(), units.CodePercent)
	bad := limits.Value("current_unbalance_pct")
	a.judge(limits.Rising(u.Percent(), bad, bad, 1e3))
	a.line("amps off by %.1f %%%s", u.Percent(), map[bool]string{true: ", too much", false: ""}[u.Percent() > bad])
	a.loaded(units.Current(slices.Max(amps[:])))
	a.currentOrigin(u)
}

func (a *asked) loaded(highest units.Current) {
	if !a.has(vocab.RatedAmps) {
		return
	}
	locked := units.Current(0)
	if a.has(vocab.LockedRotorAmps) {
		locked = units.Current(a.si(vocab.LockedRotorAmps))
	}
	rated := units.Current(a.si(vocab.RatedAmps))
	v, err := elec.LoadVerdict(highest, rated, locked)
	if a.fail(err) {
		return
	}
	a.judge(v)
	words := map[limits.Verdict]string{
		limits.OK: "", limits.Watch: ": at the plate", limits.Bad: ": over the plate", limits.Stop: ": near locked rotor, shut it down",
		limits.Ask: ": so light that it may not pump, or is unloaded",
	}[v]
	a.line("highest leg %.0f %% of the rated amps%s", units.Fraction(highest/rated).Percent(), words)
}

func (a *asked) currentOrigin(u units.Fraction) {
	if !a.has(vocab.VoltsAb, vocab.VoltsBc, vocab.VoltsCa) && a.q.Said[VoltsEven] && u.Percent() > limits.Value("current_unbalance_pct") {
		a.line("with even volts that is no supply: a bad contact, the contactor or a winding. Roll the leads to tell, and ohm the windings")
		return
	}
	if !a.has(vocab.VoltsAb, vocab.VoltsBc, vocab.VoltsCa) {
		a.line("measure the three volts at the same moment, or roll the leads: that tells supply from motor")
		return
	}
	volts, err := elec.Unbalance(a.si(vocab.VoltsAb), a.si(vocab.VoltsBc), a.si(vocab.VoltsCa))
	if a.fail(err) {
		return
	}
	origin, err := elec.CurrentOrigin(volts, u)
	if a.fail(err) {
		return
	}
	if origin == elec.FromSupply {
		a.line("volts are off by %.1f %%, which alone can give that: mend the supply first, then measure again", volts.Percent())
		return
	}
	a.line("more than volts off by %.1f %% explain: a bad contact, the contactor or a winding. Roll the leads to tell", volts.Percent())
}

// rollTest reads six amps, three before and three after the roll.
func (a *asked) rollTest() {
	var before, after [3]units.Current
	if a.q.Said[StaysOnLine] || a.q.Told[vocab.HighLegFollowsLine] {
		a.origin(elec.FromSupply)
		return
	}
	if a.q.Said[MovesAlong] || a.q.Told[vocab.HighLegFollowsMotor] {
		a.origin(elec.FromMotor)
		return
	}
	if !a.has(RollBefore[:]...) || !a.has(RollAfter[:]...) {
		a.r.Missing = append(a.r.Missing, Missing{Key: vocab.AmpsA, Why: "amps of L1 L2 L3 before, and of L1 L2 L3 after all three leads were rolled one place the same way"})
		return
	}
	for i := range before {
		before[i], after[i] = units.Current(a.si(RollBefore[i])), units.Current(a.si(RollAfter[i]))
	}
	got, err := elec.RollTest(before, after)
	if a.fail(err) {
		return
	}
	a.assume("rolled L1 to L2, L2 to L3, L3 to L1")
	a.origin(got)
}

// origin says where the high leg comes from.
func (a *asked) origin(from elec.Origin) {
	switch from {
	case elec.FromSupply:
		a.judge(limits.Bad)
		a.line("the high leg stays on its line: it is the supply. Look upstream: fuses, lugs, contactor, transformer, single-phase loads")
	case elec.FromMotor:
		a.judge(limits.Bad)
		a.line("the high leg went along with the motor lead: it is the motor or its own wires. Ohm the windings, megger it")
	default:
		a.judge(limits.Ask)
		a.line("the high leg neither stayed nor moved one place: no clear answer. Check that all three were rolled the same way and measure again")
	}
}
