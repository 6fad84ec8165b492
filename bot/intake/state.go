package intake

import (
	"coldcase/refdata/lexicon"
	"coldcase/refdata/vocab"
)

// Words of a machine at rest, of one that settles, and of a new visit. They are
// few and short, so they stand here and not in the lexicon's files.
var (
	restPhrases = compilePhrases([]string{"off cycle", "at rest", "while off", "is off", "its off", "overnight", "all night", "equalized off", "standing pressure", "sitting", "before start|startup|starting", "standing", "apagado", "shut off", "been off", "compressor off", "by 5|6|7|8 am", "by morning", "off all", "with it off", "unit off", "low side at rest", "off 10 pm", "start up loud", "stat off", "sat off", "not running", "down for"})
	backRunning = compilePhrases([]string{"once its been on", "when it runs", "runs fine", "running", "after 20|30|45 min", "min later", "reset held", "while running", "now running", "up and running", "restarted", "it runs", "on for"})
	settling    = compilePhrases([]string{"out of defrost", "after defrost", "since defrost", "pull down", "pulldown", "pulling down", "just started", "just came on", "first minutes", "right after start", "just kicked on"})
	settled     = compilePhrases([]string{"min later", "minutes later", "settled", "hour later", "hr later", "ok 45|30|60", "steady"})
	newVisit    = compilePhrases([]string{"next day", "one week", "1 week", "one month", "1 month", "2 weeks", "two weeks", "3 months", "three months", "next morning", "week later", "month later", "48 hr|hour|hours", "1 wk", "one wk", "24 hr|hour|hours visit|check", "follow up visit", "back today", "next visit", "months later", "weeks later", "days later"})
)

// findState tells, sentence by sentence, whether the readings were taken with
// the machine running or at rest, and whether it was still settling.
func (p *parse) findState() {
	words := spoken(p)
	p.m.NewVisit = anySaid(newVisit, words)
	isSettling := anySaid(settling, words) && !anySaid(settled, words)
	rest := map[int]bool{}
	any := false
	for i := range words {
		s := words[i].sentence
		if rest[s] {
			continue
		}
		for _, l := range restPhrases {
			if l.begins(words, i) {
				rest[s], any = true, true
			}
		}
	}
	for i := range p.m.Readings {
		r := &p.m.Readings[i]
		r.State, r.Settling = vocab.Running, isSettling
		s := p.sentence[p.readAt[i]]
		if rest[s] || any && len(rest) > 0 && p.sameBreath(s, rest) && !p.saidRunning(s, words) {
			r.State = vocab.Standing
		}
		if standsAlways(r.Key) {
			r.State = vocab.Standing
		}
	}
}

// sameBreath carries a state on to sentences that say nothing of their own.
func (p *parse) sameBreath(s int, rest map[int]bool) bool {
	for k := s; k >= 0; k-- {
		if rest[k] {
			return true
		}
	}
	return false
}

func (p *parse) saidRunning(s int, words []spokenWord) bool {
	for i := range words {
		if words[i].sentence != s {
			continue
		}
		for _, l := range backRunning {
			if l.begins(words, i) {
				return true
			}
		}
	}
	return false
}

// standsAlways are tests that are made on a machine at rest.
func standsAlways(k vocab.Key) bool {
	switch k {
	case vocab.PumpdownPressure, vocab.PumpdownRisePressure, vocab.PumpdownWaitTime,
		vocab.TestPressureStart, vocab.TestPressureEnd, vocab.TestTempStart, vocab.TestTempEnd,
		vocab.VacuumLevel, vocab.VacuumRiseLevel, vocab.VacuumHoldTime,
		vocab.OhmsAb, vocab.OhmsBc, vocab.OhmsCa, vocab.InsulationMegohms:
		return true
	}
	return false
}

// Question words: what is asked for and how it is called.
var questions = []struct {
	about string
	says  []loosePhrase
}{
	{"size_riser", compilePhrases([]string{"size riser", "what size riser", "riser size for"})},
	{"double_riser", compilePhrases([]string{"double riser for", "size double riser"})},
	{"size_suction", compilePhrases([]string{"size suction|suct", "what size suction|suct"})},
	{"size_liquid", compilePhrases([]string{"size liquid|liq", "what size liquid|liq"})},
	{"size_discharge", compilePhrases([]string{"size discharge|disch|hotgas", "what size discharge|disch"})},
	{"accumulator", compilePhrases([]string{"accumulator for", "size accumulator", "what accumulator"})},
	{"flash_check", compilePhrases([]string{"flash check", "will it flash", "check flash"})},
	{"oil_return", compilePhrases([]string{"oil return check|for", "will oil return", "check oil return"})},
	{"leak_rate", compilePhrases([]string{"leak rate"})},
}

// findQuestion reads a request for a calculation; its numbers belong to it and
// not to the case.
func (p *parse) findQuestion() {
	words := spoken(p)
	for _, q := range questions {
		if !anySaid(q.says, words) {
			continue
		}
		p.m.Question = &Question{About: q.about, Given: p.m.Readings}
		for i := range p.nums {
			n := &p.nums[i]
			if !n.used && n.kind() == lexicon.Mass && q.about == "accumulator" || !n.used && n.kind() == lexicon.Pounds && q.about == "accumulator" {
				p.put(n, vocab.SystemCharge)
				p.m.Question.Given = p.m.Readings
			}
		}
		p.m.Readings, p.m.Asks = nil, nil
		return
	}
}
