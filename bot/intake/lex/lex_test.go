package lex

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// values are the numbers of a text.
func values(text string) (out []float64) {
	for _, t := range Split(text, map[string]bool{"in3": true, "co2": true}, nil) {
		if t.Kind == Number {
			out = append(out, t.Value)
		}
	}
	return out
}

// pieces are its tokens as typed, a bar between.
func pieces(text string) string {
	var out []string
	for _, t := range Split(text, map[string]bool{"in3": true, "co2": true}, nil) {
		out = append(out, t.Text)
	}
	return strings.Join(out, "|")
}

func TestNumbers(t *testing.T) {
	for text, want := range map[string][]float64{
		"28":           {28},
		"-4.5":         {-4.5},
		"suct-22":      {22},
		"8-10":         {8, 10},
		"3,4 bar":      {3.4},
		"36,000":       {36000},
		"398 401 396":  {398, 401, 396},
		"7/8":          {0.875},
		"1-3/8":        {1.375},
		"1 3/8":        {1.375},
		"1⅜":           {1.375},
		"68/250":       {68, 250},
		"230/229/235":  {230, 229, 235},
		".5 megs":      {0.5},
		"12'6\"":       {12, 6},
		"2/4":          {2, 4},
		"suct28":       {28},
		"pt 22,1 21,8": {22.1, 21.8},
	} {
		require.Equal(t, want, values(text), text)
	}
}

func TestPieces(t *testing.T) {
	for text, want := range map[string]string{
		"suct28 head210": "suct|28|head|210",
		"R22 T1-T2":      "R22|T1|-|T2",
		"210 in3 CO2":    "210|in3|CO2",
		"it's 31°F":      "it's|31|°|F",
		"meg'd it":       "meg'd|it",
		"succión":        "succión",
		"a\x00b \xff c":  "a|b|c",
		"":               "",
	} {
		require.Equal(t, want, pieces(text), text)
	}
}

// Each token is the text between its bytes, in order, none in another.
func TestTokensStandInTheText(t *testing.T) {
	text := "Suct ~28ish, 1-3/8\" riser… ¿qué? 12’6” ½ glass"
	last := 0
	for _, token := range Split(text, nil, nil) {
		require.Equal(t, text[token.From:token.To], token.Text)
		require.GreaterOrEqual(t, token.From, last)
		last = token.To
	}
}

func testSpelling() *Spelling {
	own := map[string]string{}
	for canonical, typed := range map[string]string{
		"suction": "suction suct", "discharge": "discharge", "compressor": "compressor comp", "reed": "reed reeds",
		"rod": "rod rods", "head": "head", "fan": "fan fans", "oil": "oil", "receiver": "receiver",
	} {
		for _, w := range strings.Fields(typed) {
			own[w] = canonical
		}
	}
	return NewSpelling(own, []string{"running", "driver", "suit", "red", "receive"}, []string{"running", "tripped"})
}

func TestSpelling(t *testing.T) {
	s := testSpelling()
	for typed, want := range map[string]string{
		"suct": "suction", "suctoin": "suction", "dicsharge": "discharge",
		"comprsr": "compressor", // known by its consonants
		"hed":     "head",       // lacks a letter in its middle
		"fna":     "fan",        // two letters swapped
		"oyl":     "oil",        // another vowel
		"runing":  "running",    // an English word of a phrase
		"tripd":   "tripped",
		"reciver": "receiver", // the trade's word before an English one
	} {
		got, known := s.Canonical(typed)
		require.True(t, known, typed)
		require.Equal(t, want, got, typed)
	}
	for _, typed := range []string{"rds", "xqzv", "ab", "abc", "fish"} {
		_, known := s.Canonical(typed)
		require.False(t, known, "%s may be none or several", typed)
	}
	got, _ := s.Canonical("suit")
	require.Equal(t, "suit", got, "an English word is right as it is")
	require.True(t, s.Trade("suct"))
	require.False(t, s.Trade("suctoin"))
}

func phrases(t *testing.T, small []string, say ...string) *Phrases {
	p := NewPhrases(small)
	for i, s := range say {
		require.NoError(t, p.Add(s, i, strings.ToLower))
	}
	return p
}

func TestPhrases(t *testing.T) {
	p := phrases(t, []string{"the", "of"}, "suction line temp?", "suction", "drop across|over filter", "# of # phases", "either .. or", `\# 2`)
	for text, want := range map[string]int{
		"suction line 28":           2, // the longest, its last word missing
		"suction line temp 28":      3,
		"suction of the line":       4, // small words between
		"suction, line":             1, // a mark stands between
		"drop over the filter":      4,
		"2 of 3 phases":             4,
		"either dead or off":        3,
		"either a b c d or":         0, // more than three between
		"# 2":                       2,
		"line":                      0,
		"drop across the big valve": 0,
	} {
		require.Equal(t, want, p.At(Split(text, nil, nil), 0).To, text)
	}
	require.Error(t, p.Add("", 9, strings.ToLower))
	require.Error(t, p.Add(".. suction", 9, strings.ToLower))
	require.Len(t, p.Find(Split("suction 28 and suction line 40", nil, nil)), 2)
	ends := map[int]int{}
	p.All(Split("suction line temp 28", nil, nil), 0, func(id, to int) { ends[id] = max(ends[id], to) })
	require.Equal(t, map[int]int{0: 3, 1: 1}, ends)
}

// What may begin at a word is noted once for several sets, and changes nothing.
func TestNotedTokensMatchAsBefore(t *testing.T) {
	a, b := phrases(t, nil, "suction line"), phrases(t, nil, "line temp", "#")
	plain, noted := Split("suction line temp 28", nil, nil), Split("suction line temp 28", nil, nil)
	NewStarts(a, b).Note(noted)
	for i := range plain {
		require.Equal(t, a.At(plain, i), a.At(noted, i))
		require.Equal(t, b.At(plain, i), b.At(noted, i))
	}
}

func set(words ...string) map[string]bool {
	m := map[string]bool{}
	for _, w := range words {
		m[w] = true
	}
	return m
}

func TestScope(t *testing.T) {
	s := &Scope{Deny: set("no", "not"), DenyAfter: set("none", "no", "negative"), Turn: set("but"), Doubt: set("maybe")}
	for text, want := range map[string][2]bool{ // denied, doubted
		"metal in oil":                {false, false},
		"no metal":                    {true, false},
		"no sign of any metal":        {true, false},
		"metal none":                  {true, false},
		"metal no acid":               {false, false}, // the no belongs to what follows
		"not dark but metal":          {false, false},
		"oil not dark. metal":         {false, false},
		"rods not broken / metal":     {false, false},
		"maybe metal":                 {false, true},
		"maybe dark, metal":           {false, false},
		"not sure, metal maybe there": {false, true},
	} {
		tokens := Split(text, nil, nil)
		for i, token := range tokens {
			if token.Plain != "metal" {
				continue
			}
			m := Match{From: i, To: i + 1, Said: 1}
			s.Judge(tokens, &m)
			require.Equal(t, want, [2]bool{m.Negated, m.Hedged}, text)
			s.JudgeDenied(tokens, &m)
			require.Equal(t, want[0], m.Negated, text)
		}
	}
}
