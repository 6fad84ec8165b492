package main

import (
	"context"
	"os"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// TestMain lets the scenes call this very program as "coldcase".
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"coldcase": func() {
			os.Exit(run(context.Background(), console{os.Stdin, os.Stdout, os.Stderr}, os.Args[1:]))
		},
	})
}

// TestScenes runs the scenes of the command line, each in a folder of its own.
func TestScenes(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script",
		Setup: func(e *testscript.Env) error {
			e.Setenv("COLDCASE_DB", e.WorkDir+"/cases.db")
			e.Setenv("HOME", e.WorkDir)
			e.Setenv("USER", "Ines")
			return nil
		},
	})
}
