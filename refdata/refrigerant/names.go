package refrigerant

import (
	"slices"
	"strings"
	"sync"
)

// Names lists every refrigerant that can be asked for, pure fluids first. Two
// fluids that are only parts of blends (R601, R601a, R1336mzz(E)) are among them.
func Names() []string { return slices.Clone(names()) }

var names = sync.OnceValue(func() []string {
	var pure []string
	entries, err := files.ReadDir("fluids")
	if err != nil {
		return nil // the files are embedded: they are there
	}
	for _, e := range entries {
		s, err := open("fluids/" + e.Name())
		if err == nil && s.Text("fluid", "kind") == "pure" {
			pure = append(pure, s.Text("fluid", "name"))
		}
	}
	blends, err := OpenBlends()
	if err != nil {
		return pure
	}
	for _, section := range blends.Sections("blend.") {
		pure = append(pure, strings.TrimPrefix(section, "blend."))
	}
	return pure
})
