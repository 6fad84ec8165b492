package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Figures come over digit by digit, a pair that no blend has and the departure
// that only it names stay out.
func TestSheetsOfAnInventedFluid(t *testing.T) {
	sheets, err := makeSheets("testdata")
	require.NoError(t, err)
	require.Len(t, sheets, 2)
	for name, text := range sheets {
		want, err := os.ReadFile(filepath.Join("testdata", filepath.Base(name)))
		require.NoError(t, err)
		assert.Equal(t, string(want), text, name)
	}
}

// The embedded sheets are what the coefficient files make, where they are at
// hand: COLDCASE_COEFFICIENTS names their folder.
func TestEmbeddedSheetsAreWhatTheCoefficientsMake(t *testing.T) {
	folder := os.Getenv("COLDCASE_COEFFICIENTS")
	if folder == "" {
		t.Skip("COLDCASE_COEFFICIENTS is not set")
	}
	sheets, err := makeSheets(folder)
	require.NoError(t, err)
	for name, text := range sheets {
		kept, err := os.ReadFile(filepath.Join("..", name))
		require.NoError(t, err)
		assert.Equal(t, string(kept), text, name)
	}
	kept, err := filepath.Glob("../fluids/*.txt")
	require.NoError(t, err)
	assert.Len(t, sheets, len(kept)+1)
}

func TestAFolderWithoutCoefficients(t *testing.T) {
	_, err := makeSheets(t.TempDir())
	require.ErrorContains(t, err, "no coefficient files")
}
