package phrases_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"coldcase/refdata/phrases"
	"coldcase/refdata/vocab"
)

// TestEveryKeyCanBeAsked holds that no key of readings.md is said by its code.
func TestEveryKeyCanBeAsked(t *testing.T) {
	for _, d := range vocab.Definitions() {
		assert.NotEmpty(t, phrases.Ask(string(d.Key)), d.Key)
		assert.NotContains(t, phrases.Label(string(d.Key)), "_")
	}
	for _, f := range vocab.AllFacts() {
		assert.NotEmpty(t, phrases.Ask(string(f)), f)
	}
	for _, f := range vocab.AllFindings() {
		assert.NotEmpty(t, phrases.Ask(string(f)), f)
	}
}

// TestAQuestionIsHeard: how techs ask, and what they say that asks nothing.
func TestAQuestionIsHeard(t *testing.T) {
	for _, text := range []string{
		"its still running should i shut it off", "what do i do next", "whats next", "que hago", "so is that ok or not",
		"Whats the superheat", "theyre asking if they can leave it running tonight", "how long do i wait", "is it good",
		"ok. can i meg it with the 1000v", "ok?", "where does the oil go",
	} {
		assert.True(t, phrases.IsQuestion(text), text)
	}
	for _, text := range []string{"on my way", "ok thanks", "lol", "heading back to the shop", "lunch, back at 1", "that is it", ""} {
		assert.False(t, phrases.IsQuestion(text), text)
	}
	assert.True(t, phrases.AsksToRun("they're asking if they can leave it running tonight"))
	assert.True(t, phrases.AsksToRun("can I restart?"))
	assert.False(t, phrases.AsksToRun("whats the superheat"))
}

// TestEveryCauseHasWords: the tables are well formed.
func TestEveryCauseHasWords(t *testing.T) {
	for _, c := range []string{"floodback_running", "liquid_slug", "valve_leak_internal", "single_phasing"} {
		assert.NotEmpty(t, phrases.CauseWords(c), c)
	}
}
