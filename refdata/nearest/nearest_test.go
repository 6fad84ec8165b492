package nearest_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"coldcase/refdata/nearest"
)

func TestTo(t *testing.T) {
	names := []string{"R404A", "R407C", "R448A"}
	assert.Equal(t, "R448A", nearest.To("r448b", names, 2))
	assert.Equal(t, "R404A", nearest.To("404A", names, 2), "a letter too few")
	assert.Empty(t, nearest.To("R12345", names, 2), "three away")
	assert.Equal(t, "R404A", nearest.To("R40", names, 2), "the first of equals")
}
