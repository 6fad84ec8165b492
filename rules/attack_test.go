package rules

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
)

// ours is a rule file with one judgement, some of it replaced.
func ours(replace ...string) string {
	text := `rules:
  - id: our-own
    title: t
    severity: note
    status: trial
    when: total_superheat_dF < 5
    why: w
    also_looks_like: [x]
    sources: [common practice]
    examples:
      - {given: {total_superheat_dF: 2}, expect: fires}
      - {given: {total_superheat_dF: 9}, expect: silent}
`
	return strings.NewReplacer(replace...).Replace(text)
}

// TestNastyFiles loads what should not be written: each is refused with a place.
func TestNastyFiles(t *testing.T) {
	if testing.Short() {
		t.Skip("a load each")
	}
	when := func(expression string) string { return ours("total_superheat_dF < 5", "'"+expression+"'") }
	bomb := "a: &a [x,x,x,x,x,x,x,x,x]\n"
	for i := range 12 {
		bomb += fmt.Sprintf("%c: &%c [*%c,*%c,*%c,*%c,*%c,*%c]\n", 'b'+i, 'b'+i, 'a'+i, 'a'+i, 'a'+i, 'a'+i, 'a'+i, 'a'+i)
	}
	for name, text := range map[string]string{
		"alias bomb":             bomb,
		"alias in flow":          "rules: [&a{id: x}, *a]",
		"alias of itself":        "rules: &a\n  - *a\n",
		"anchor behind a colon":  "rules:\n  - id: &x our-own\n",
		"merge key":              "rules:\n  - <<: {id: x}\n",
		"deep flow":              strings.Repeat("[", 20000),
		"deep mapping":           strings.Repeat("{a: ", 3000) + "1" + strings.Repeat("}", 3000),
		"deep blocks":            deepBlocks(300),
		"a megabyte":             "rules: []\n#" + strings.Repeat("x", maxFile),
		"two documents":          "rules: []\n---\nrules: []\n",
		"a list for a file":      "- rules\n",
		"text for a file":        "rules",
		"a number for rules":     "rules: 5\n",
		"binary":                 "\x00\x01\x02",
		"not utf-8":              "rules: [\xff\xfe]",
		"a tab":                  "rules:\n\t- id: x\n",
		"unknown key":            ours("severity", "severty"),
		"key twice":              ours("    title: t\n", "    title: t\n    title: u\n"),
		"id twice":               ours() + strings.TrimPrefix(ours(), "rules:\n"),
		"a tag":                  ours("id: our-own", "id: !!binary aGk="),
		"a list for an id":       ours("id: our-own", "id: [a]"),
		"range":                  when("1..1000000000 == 1"),
		"count of a range":       when("count(1..1000000000) > 1"),
		"map":                    when("map(1..99999999, # * 2) == []"),
		"repeat":                 when("repeat(\"a\", 1000000000) == \"\""),
		"nested calls":           when(strings.Repeat("abs(", 300) + "1" + strings.Repeat(")", 300) + " > 0"),
		"nested nots":            when(strings.Repeat("!", 1500) + "dead"),
		"a power":                when("9 ** 9 ** 9 ** 9 > 1"),
		"no bool":                when("total_superheat_dF"),
		"empty condition":        when(""),
		"a comment only":         when("# nothing"),
		"quote left open":        when("refrigerant == \"R2"),
		"limit misspelt":         when("total_superheat_dF < limits.wet_suction_dFF"),
		"circumstance misspelt":  when("told.deadd"),
		"long condition":         when("dead" + strings.Repeat(" || dead", 300)),
		"unit left out":          when("total_superheat < 5"),
		"wrong kind":             when("refrigerant < 5"),
		"example of nothing":     ours("{total_superheat_dF: 2}", "{total_superhet_dF: 2}"),
		"example without number": ours("{total_superheat_dF: 2}", "{total_superheat_dF: cold}"),
		"example is infinite":    ours("{total_superheat_dF: 2}", "{total_superheat_dF: .inf}"),
		"example expects":        ours("expect: fires", "expect: maybe"),
		"given is a list":        ours("{total_superheat_dF: 2}", "[2]"),
		"weight of nothing":      "signs:\n  - {id: x, title: t, finding: oil_acid, says: {oil_loss: [huge, w]}, sources: [s]}\n",
		"prior beyond":           "causes:\n  - {name: oil_loss, title: t, prior: .nan}\n",
		"effort of no time":      "efforts:\n  - {what: oil_acid, minutes: -1}\n",
		"ask for nothing":        "asks:\n  - {when: dead, keys: [nonsense]}\n",
		"caution of nothing":     "cautions:\n  - {id: nonsense, when: dead}\n",
	} {
		set, err := WithExtra(fstest.MapFS{"bad.yaml": {Data: []byte(text)}})
		if err == nil {
			failed := set.TestAdded().Failed
			require.NotEmpty(t, failed, "%s is taken", name)
			err = failed[0]
		}
		require.Regexp(t, `bad\.yaml:\d+:\d+: .`, err.Error(), name)
		require.Less(t, len(err.Error()), 4000, name)
	}
}

func deepBlocks(n int) string {
	var b strings.Builder
	for i := range n {
		b.WriteString(strings.Repeat(" ", i) + "a:\n")
	}
	return b.String()
}

// TestPlaceOfMistake finds the character again, however the condition is written.
func TestPlaceOfMistake(t *testing.T) {
	if testing.Short() {
		t.Skip("a load each")
	}
	for _, row := range []struct {
		written string
		want    string
	}{
		{`when: subcooling < 5`, "bad.yaml:6:11: no such name: subcooling; did you mean subcooling_dF?"},
		{`when: "refrigerant == \"R290\" && subcooling < 5"`, "bad.yaml:6:39: no such name"},
		{`when: 'refrigerant == "R290" && subcooling < 5'`, "bad.yaml:6:37: no such name"},
		{"when: [dead, subcooling < 5]", "bad.yaml:6:18: no such name"},
		{"when:\n      - dead\n      - dead && subcooling < 5", "bad.yaml:8:17: no such name"},
		{"when: |\n      dead &&\n      subcooling < 5", "bad.yaml:8:7: no such name"},
		{"when: >\n      dead &&\n      subcooling < 5", "bad.yaml:8:7: no such name"},
		{"when: dead &&\n      subcooling < 5", "bad.yaml:7:7: no such name"},
		{`when: total_superheat_dF < limits.wet_suction`, "did you mean limits.wet_suction_dF?"},
		{`when: seen.oil_acidd`, "did you mean seen.oil_acid?"},
		{`when: told.deadd`, "did you mean told.dead?"},
		{`when: isknown.subcooling`, "did you mean isknown.subcooling_dF?"},
	} {
		_, err := WithExtra(fstest.MapFS{"bad.yaml": {Data: []byte(ours("when: total_superheat_dF < 5", row.written))}})
		require.ErrorContains(t, err, row.want, row.written)
	}
}
