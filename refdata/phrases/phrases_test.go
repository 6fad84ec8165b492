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
