// Command gencurves writes the saturation curves of every refrigerant, made from
// its equation of state, into the folder that refdata embeds.
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"

	"coldcase/calc/props"
	"coldcase/refdata/refrigerant"
)

func main() {
	out := flag.String("out", "curves", "folder to write to")
	flag.Parse()
	for _, f := range props.AllModels() {
		text, err := props.Curves(f.Name, f.Model)
		if err == nil {
			err = os.WriteFile(filepath.Join(*out, refrigerant.CurveFile(f.Name, f.Model)), []byte(text), 0o644)
		}
		if err != nil {
			fmt.Fprintln(os.Stderr, f.Name, f.Model, err)
			os.Exit(1)
		}
	}
	points, err := props.Points()
	if err == nil {
		err = os.WriteFile(filepath.Join(*out, "points.txt"), []byte(points), 0o644)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "points:", err)
		os.Exit(1)
	}
}
