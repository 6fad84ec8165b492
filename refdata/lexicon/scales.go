package lexicon

import (
	"bytes"
	"fmt"
	"math"
	"reflect"

	"gopkg.in/yaml.v3"
)

// Sizes tell what a bare number may be; see scales.yaml.
type Sizes struct {
	NominalVolts    []float64 `yaml:"nominal_V"`
	LeastThreePhase float64   `yaml:"least_three_phase_V"`
	OffNominal      float64   `yaml:"off_nominal"`
	MeggerVolts     []float64 `yaml:"megger_V"`
	LeastLineVolts  float64   `yaml:"least_line_V"`
	LeastLoad       float64   `yaml:"least_load_Btu_h"`
	LeastTest       float64   `yaml:"least_test_psig"`
	LeastVacuum     float64   `yaml:"least_vacuum_micron"`
	LeastHead       float64   `yaml:"least_head_psig"`
	HeadOfSuction   float64   `yaml:"head_of_suction"`
	SuctionOfHead   float64   `yaml:"suction_of_head"`
	MountainFeet    float64   `yaml:"mountain_ft"`
	LegOffOthers    float64   `yaml:"leg_off_others"`
	LegsAlike       float64   `yaml:"legs_alike"`
	AmpsLeast       float64   `yaml:"amps_of_plate_least"`
	AmpsMost        float64   `yaml:"amps_of_plate_most"`
	NearPlate       float64   `yaml:"near_plate"`
	MostNumbered    float64   `yaml:"most_numbered"`
	MostCylinders   float64   `yaml:"most_cylinders"`
	HottestDrier    float64   `yaml:"hottest_drier_F"`
	DrierDrop       float64   `yaml:"drier_drop_dF"`
	WidestRange     float64   `yaml:"widest_range"`
	RangeSlack      float64   `yaml:"range_slack"`
}

// Tenths of a cost: what stands between a name and a number is added up in whole numbers,
// so that it is the same however it is added.
type Tenths int32

// Cost is the sum as a number.
func (t Tenths) Cost() float64 { return float64(t) / 10 }

// UnmarshalYAML reads 2.5 as 25 tenths, and refuses what is no whole number of them.
func (t *Tenths) UnmarshalYAML(n *yaml.Node) error {
	var cost float64
	if err := n.Decode(&cost); err != nil {
		return fmt.Errorf("a cost: %w", err)
	}
	*t = Tenths(math.Round(10 * cost))
	if math.Abs(t.Cost()-cost) > 1e-9 {
		return fmt.Errorf("line %d: %g is no whole number of tenths", n.Line, cost)
	}
	return nil
}

// Weights are the costs of giving a number to a name.
type Weights struct {
	OtherMark  Tenths  `yaml:"other_mark"`
	SmallWord  Tenths  `yaml:"small_word"`
	PastLoose  Tenths  `yaml:"past_loose"`
	OtherWord  Tenths  `yaml:"other_word"`
	And        Tenths  `yaml:"and"`
	Comma      Tenths  `yaml:"comma"`
	PastName   Tenths  `yaml:"past_name"`
	PastNumber Tenths  `yaml:"past_number"`
	Behind     float64 `yaml:"behind"`
	BehindUnit float64 `yaml:"behind_unit"`
	Loose      float64 `yaml:"loose"`
	Unusual    float64 `yaml:"unusual"`
	TurnsRound float64 `yaml:"turns_round"`
	Crossing   float64 `yaml:"crossing"`
	Alone      float64 `yaml:"alone"`
	LengthNoun float64 `yaml:"length_noun"`
	SecondBest float64 `yaml:"second_best"`
	Shared     float64 `yaml:"shared"`
	BothSides  float64 `yaml:"both_sides"`
}

// Reaches are how many words may stand between what belongs together.
type Reaches struct {
	Name           int `yaml:"name"`
	Supply         int `yaml:"supply"`
	Control        int `yaml:"control"`
	Vacuum         int `yaml:"vacuum"`
	Absent         int `yaml:"absent"`
	Present        int `yaml:"present"`
	Drier          int `yaml:"drier"`
	Gap            int `yaml:"gap"`
	Condition      int `yaml:"condition"`
	PartBehind     int `yaml:"part_behind"`
	Comma          int `yaml:"comma"`
	OtherCondition int `yaml:"other_condition"`
	OwnCondition   int `yaml:"own_condition"`
	OtherPart      int `yaml:"other_part"`
	And            int `yaml:"and"`
}

// scale reads one of the sections of scales.yaml: each of its entries is known, and none
// is missing or below 0. A later file may give some of them anew.
func scale[T any](p *parser, into *T) func(*yaml.Node) {
	return func(n *yaml.Node) {
		text, err := yaml.Marshal(n)
		if err == nil {
			d := yaml.NewDecoder(bytes.NewReader(text))
			d.KnownFields(true)
			err = d.Decode(into)
		}
		if err != nil {
			p.wrong(n, "compare with scales.yaml", "%v", err)
			return
		}
		for v, i := reflect.ValueOf(*into), 0; i < v.NumField(); i++ {
			if f := v.Field(i); isNothing(f) {
				p.wrong(n, "give it a number above 0", "%s is missing", v.Type().Field(i).Tag.Get("yaml"))
			}
		}
	}
}

func isNothing(f reflect.Value) bool {
	switch f.Kind() {
	case reflect.Slice:
		return f.Len() == 0
	case reflect.Float64:
		return f.Float() <= 0
	default:
		return f.Int() <= 0
	}
}
