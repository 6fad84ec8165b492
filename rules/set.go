package rules

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"io/fs"
	"path"
	"slices"
	"sort"
)

//go:embed packs/*.yaml
var packs embed.FS

// Set is the rules in force: all files together, checked and compiled. It is
// immutable and safe for concurrent use.
type Set struct {
	files    []*File
	rules    []*Rule
	signs    []*Sign
	causes   []*CauseRule
	ruledOut []*Exclusion
	marks    []*Mark
	faults   []*FaultRule
	checks   []*Step
	plan     []*Step
	asks     []*AskRule
	cautions []*CautionRule
	efforts  []*Effort
	topics   map[string]string
	version  string
	folders  []fs.FS // what it was loaded from

	marksOf      [][]*Mark // by the place of the cause
	exclusionsOf [][]*Exclusion
	effortOf     map[string]*Effort
	signsOf      map[string][]*Sign // by what settles them
}

// BuiltIn loads the built-in packs.
func BuiltIn() (*Set, error) {
	sub, err := fs.Sub(packs, "packs")
	if err != nil {
		return nil, fmt.Errorf("built-in rules: %w", err)
	}
	return Load(sub)
}

// WithExtra loads the built-in packs and a folder beside them; a rule of the
// folder takes the place of a built-in one with its id.
func WithExtra(extra fs.FS) (*Set, error) {
	sub, err := fs.Sub(packs, "packs")
	if err != nil {
		return nil, fmt.Errorf("built-in rules: %w", err)
	}
	return Load(sub, extra)
}

// Load reads every .yaml or .yml file of the folders, the later ones over the earlier.
// All mistakes come together, joined, each a *Mistake.
func Load(folders ...fs.FS) (*Set, error) {
	s := &Set{topics: map[string]string{}, folders: folders}
	c, digest := newCompiler(), sha256.New()
	var wrong []error
	for i, folder := range folders {
		mistakes, err := s.addFolder(folder, i, c, digest)
		if err != nil {
			return nil, err
		}
		wrong = append(wrong, mistakes...)
	}
	wrong = append(wrong, s.check()...)
	if len(wrong) > 0 {
		return nil, errors.Join(wrong...)
	}
	s.version = hex.EncodeToString(digest.Sum(nil)[:6])
	s.link()
	s.linkGain()
	return s, nil
}

func (s *Set) addFolder(folder fs.FS, nth int, c *compiler, digest hash.Hash) (wrong []error, err error) {
	names, err := fs.Glob(folder, "*.y*ml") // .yaml and .yml
	if err != nil {
		return nil, fmt.Errorf("rule folder: %w", err)
	}
	sort.Strings(names)
	for _, name := range names {
		raw, err := fs.ReadFile(folder, name)
		if err != nil {
			return nil, fmt.Errorf("rule file: %w", err)
		}
		fmt.Fprintf(digest, "%s %d\n", path.Base(name), len(raw))
		digest.Write(raw)
		f, mistakes := readFile(name, raw)
		wrong = append(wrong, mistakes...)
		if f != nil {
			wrong = append(wrong, s.add(f, c, nth)...)
		}
	}
	return wrong, nil
}

// With loads the same rules again with one more file over them.
func (s *Set) With(folder fs.FS, file string) (*Set, error) {
	return Load(append(slices.Clip(s.folders), oneFile{folder, file})...)
}

// oneFile is a folder that shows a single file.
type oneFile struct {
	fs.FS
	name string
}

// Glob finds the one file.
func (o oneFile) Glob(pattern string) ([]string, error) {
	if ok, err := path.Match(pattern, o.name); err != nil || !ok {
		return nil, err
	}
	return []string{o.name}, nil
}

// Version names the rules in force: a digest of their files.
func (s *Set) Version() string { return s.version }

// Rules counts what can speak: judgements, signs, rule-outs and faults.
func (s *Set) Rules() int {
	return len(s.rules) + len(s.signs) + len(s.ruledOut) + len(s.faults)
}

// CauseNames lists the causes of the rules in force.
func (s *Set) CauseNames() []string {
	var out []string
	for _, c := range s.causes {
		out = append(out, c.Name.Value)
	}
	return out
}
