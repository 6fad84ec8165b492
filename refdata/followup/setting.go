package followup

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"

	"gopkg.in/yaml.v3"

	"coldcase/refdata/limits"
)

// Setting is the whole watch: visits, hours and what counts as creeping.
type Setting struct {
	Visits  []Visit       `yaml:"visits"`
	Hours   Hours         `yaml:"working_hours"`
	Extra   time.Duration `yaml:"extra_visit"` // after a visit that found something creeping
	Overdue time.Duration `yaml:"overdue_after"`
	Like    Like          `yaml:"like"`
	Pace    time.Duration `yaml:"pace_from"` // visits closer together than this tell no pace
	Creep   []Band        `yaml:"creep"`
}

// Hours are when people are reminded, by the clock of the site.
type Hours struct {
	From int      `yaml:"from"` // o'clock
	To   int      `yaml:"to"`
	Days []string `yaml:"days"`
}

// Hold reports whether people are reminded at that moment of the site's clock.
func (h Hours) Hold(local time.Time) bool {
	return local.Hour() >= h.From && local.Hour() < h.To &&
		slices.Contains(h.Days, strings.ToLower(local.Weekday().String()))
}

// Like says how far ambient and box may lie apart for two visits to be compared.
type Like struct {
	Ambient float64 `yaml:"ambient_F"` // degrees of difference
	Box     float64 `yaml:"box_F"`
}

// Band is how far one number may move; Fall, Rise, FallsTo and RisesTo name limits.
type Band struct {
	Number  string `yaml:"number"`
	Words   string `yaml:"words"`
	Unit    string `yaml:"unit"`
	Fall    string `yaml:"fall"` // "": that way is no trouble
	Rise    string `yaml:"rise"`
	Share   bool   `yaml:"share"` // Fall and Rise are percent of the first value
	FallsTo string `yaml:"falls_to"`
	RisesTo string `yaml:"rises_to"`
}

// Most is how far the number may move that way; false when that way is no trouble.
func (b Band) Most(falls bool) (most float64, ok bool) {
	name := b.Rise
	if falls {
		name = b.Fall
	}
	if name == "" {
		return 0, false
	}
	return limits.Value(name), true
}

// BuiltIn is the setting that comes with the program.
func BuiltIn() (Setting, error) { return builtIn() }

var builtIn = sync.OnceValues(func() (Setting, error) { return Read(table) })

// Read reads a setting and refuses what can't stand.
func Read(text []byte) (Setting, error) {
	var s Setting
	d := yaml.NewDecoder(bytes.NewReader(text))
	d.KnownFields(true)
	if err := d.Decode(&s); err != nil {
		return s, fmt.Errorf("watch setting: %w", err)
	}
	return s, s.check()
}

func (s Setting) check() error {
	last := time.Duration(0)
	for _, v := range s.Visits {
		if v.Within <= last {
			return fmt.Errorf("watch setting: visit %q does not come after the one before it", v.Name)
		}
		last = v.Within
	}
	if s.Hours.From < 0 || s.Hours.To > 24 || s.Hours.From >= s.Hours.To || len(s.Hours.Days) == 0 {
		return fmt.Errorf("watch setting: working_hours from %d to %d on %v never hold", s.Hours.From, s.Hours.To, s.Hours.Days)
	}
	known, err := limits.All()
	if err != nil {
		return err
	}
	for _, b := range s.Creep {
		for _, name := range []string{b.Fall, b.Rise, b.FallsTo, b.RisesTo} {
			if _, ok := known[name]; name != "" && !ok {
				return fmt.Errorf("watch setting: %s names the limit %s, which is not known", b.Number, name)
			}
		}
	}
	return nil
}
