package intake

import (
	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
	"coldcase/refdata/vocab"
)

// answer takes a lone number for what the helper asked last, or asks which
// reading it is.
func (p *parse) answer() bool {
	if len(p.nums) == 2 && p.pairAlone() {
		return true
	}
	if len(p.nums) != 1 {
		return false
	}
	q := &p.nums[0]
	if q.used || q.idle || !p.alone(q) {
		return false
	}
	if _, ok := vocab.Define(p.ctx.Asked); ok && q.fits(lexicon.KindOf(p.ctx.Asked)) {
		p.put(q, p.ctx.Asked)
		return true
	}
	if q.unit == nil && !q.frac {
		q.used = true
		p.mark(q.from, q.to, counted)
		p.leaveOpen(q)
		p.ask(WhichReading, "Which reading is that?")
		return true
	}
	return false
}

// alone holds that a sentence is a number and at most small words: "it's 31".
func (p *parse) alone(q *quantity) bool {
	for k := range p.t {
		if k >= q.from && k < q.to || p.t[k].Kind == lex.Mark || p.sentence[k] != p.sentence[q.core] {
			continue
		}
		_, small := p.listed("small", k)
		_, today := p.listed("today", k)
		_, seen := p.listed("seen_words", k)
		if !small && !today && !seen {
			return false
		}
	}
	return true
}

// mostAnswerWords bounds an answer in words: "the suction line at the compressor".
const mostAnswerWords = 7

// answerInWords reads "line temp" behind a number that the last message left open: what is
// typed now is the number's name.
func (r *Reader) answerInWords(text string, ctx Context) (Message, bool) {
	if ctx.Pending == "" || ctx.Asked == "" || !r.onlyWords(text) {
		return Message{}, false
	}
	p := r.parse(text+" "+ctx.Pending, ctx)
	defer p.leave()
	if len(p.m.Readings) != 1 || len(p.m.Asks) > 0 || p.readAt[0] != p.nums[len(p.nums)-1].core {
		return Message{}, false
	}
	p.m.Readings[0].Span = &[2]int{0, len(text)}
	return p.m, true
}

// onlyWords: a few words, no number among them.
func (r *Reader) onlyWords(text string) bool {
	tokens := lex.Split(text, r.whole, nil)
	if len(tokens) == 0 || len(tokens) > mostAnswerWords {
		return false
	}
	for i := range tokens {
		if _, numeral := r.words.Numbers[tokens[i].Word]; numeral || tokens[i].Kind == lex.Number {
			return false
		}
	}
	return true
}

// leaveOpen notes the one number of the message that is asked about for want of a name.
func (p *parse) leaveOpen(q *quantity) {
	if p.open++; p.open == 1 {
		p.m.Pending = p.textOf(q.core, q.to)
		return
	}
	p.m.Pending = "" // of two, no one name could be told apart
}
