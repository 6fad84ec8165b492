package vocab

import "slices"

// What was put right: from then on what it mends is told of the machine as it was.
const (
	BulbMended      Circumstance = "bulb_mended"
	FansMended      Circumstance = "fans_mended"
	CondenserWashed Circumstance = "condenser_washed"
	SolenoidChanged Circumstance = "solenoid_changed"
	CoilDefrosted   Circumstance = "coil_defrosted"
	HeaterMended    Circumstance = "heater_mended"
)

// mends names the findings and circumstances that a repair ends.
var mends = map[Circumstance]struct {
	findings      []Finding
	circumstances []Circumstance
}{
	BulbMended:      {[]Finding{BulbLoose}, []Circumstance{BulbNoAnswer}},
	FansMended:      {[]Finding{FanFailed}, []Circumstance{FanEvapFailed, CondenserFanOff}},
	CondenserWashed: {nil, []Circumstance{CondenserDirty}},
	SolenoidChanged: {[]Finding{SolenoidLeaking}, []Circumstance{HandValveShutHolds}},
	CoilDefrosted:   {[]Finding{CoilIced}, nil},
	HeaterMended:    {[]Finding{HeaterFailed}, nil},
}

// MendsFinding reports a repair that ends a finding.
func (c Circumstance) MendsFinding(f Finding) bool { return slices.Contains(mends[c].findings, f) }

// Mends reports a repair that ends another circumstance.
func (c Circumstance) Mends(o Circumstance) bool { return slices.Contains(mends[c].circumstances, o) }
