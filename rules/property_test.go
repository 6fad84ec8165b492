package rules

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"coldcase/calc/derive"
	"coldcase/refdata/vocab"
)

// withFindings judges a dead machine of which only findings are told.
func withFindings(s *Set, seen ...vocab.Finding) Judgement {
	rec := derive.Record{Facts: vocab.Facts{vocab.CompressorType: "semi_hermetic"}, Findings: map[vocab.Finding]bool{}, Circumstances: map[vocab.Circumstance]bool{vocab.Dead: true}}
	for _, f := range seen {
		rec.Findings[f] = true
	}
	return s.Judge(rec, derive.Numbers(rec))
}

// TestOneFactCountsOnce: signs of one group weigh fully, half, then a quarter, so
// that no number of them is worth much more than the strongest.
func TestOneFactCountsOnce(t *testing.T) {
	w := &weighed{}
	for range 5 {
		w.add(&Sign{ID: Text{Value: "s"}, group: 1}, &speech{weight: 1.5}, 1, false)
	}
	w.add(&Sign{ID: Text{Value: "other"}, group: 2}, &speech{weight: 0.7}, 1, false)
	w.add(&Sign{ID: Text{Value: "against"}, group: 1}, &speech{weight: -0.7}, 1, false)
	w.sum()
	require.InDelta(t, 1.5*(1+0.5+0.25*3)+0.7-0.7, w.score, 1e-12)
}

// TestOrderOfTellingDoesNotMatter: the same signs in any order of the rules give the
// same scores.
func TestOrderOfTellingDoesNotMatter(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	weights := []float64{1.5, 0.7, -0.7, -1.5, 0.7, 1.5, -0.35}
	want := 0.0
	for round := range 20 {
		w := &weighed{}
		for _, i := range rng.Perm(len(weights)) {
			w.add(&Sign{ID: Text{Value: "s"}, group: i % 3}, &speech{weight: weights[i]}, 1, false)
		}
		if w.sum(); round == 0 {
			want = w.score
		}
		require.InDelta(t, want, w.score, 1e-12)
	}
}

// TestSecondaryNeverOutvotes: what breaks after the first part never takes the lead
// from primary evidence, however much of it there is (trade-basis 5.1).
func TestSecondaryNeverOutvotes(t *testing.T) {
	set, err := BuiltIn()
	require.NoError(t, err)
	secondary := []vocab.Finding{vocab.MetalInOil, vocab.PistonScored, vocab.CrankScored, vocab.WindingSpotBurn, vocab.Grounded, vocab.OpenWinding, vocab.LockedRotor}
	primary := map[string][]vocab.Finding{
		"floodback_running": {vocab.RodsWornProgressive, vocab.OilDiluted, vocab.ShellColdOrSweating},
		"liquid_slug":       {vocab.ReedBrokenSuction, vocab.PistonDamaged, vocab.RodBroken, vocab.NoisyStart},
		"oil_loss":          {vocab.RodsWornEvenly, vocab.OilGone},
		"flooded_start":     {vocab.NoisyStart, vocab.HeaterFailed, vocab.OilFoaming},
	}
	for cause, seen := range primary {
		require.Equal(t, cause, withFindings(set, seen...).Causes[0].Name, seen)
		for set1 := range 1 << len(secondary) {
			all := append([]vocab.Finding{}, seen...)
			for i, f := range secondary {
				if set1>>i&1 == 1 {
					all = append(all, f)
				}
			}
			j := withFindings(set, all...)
			first := j.Causes[0].Name
			if first == undecided {
				first = j.Causes[1].Name
			}
			require.NotEqual(t, "motor_burn_spot_secondary", first, all)
			require.Equal(t, cause, first, all)
		}
	}
}

// TestHealthyOrUndetermined: nothing known is undetermined, never healthy; and what
// is healthy has no cause that stands.
func TestHealthyOrUndetermined(t *testing.T) {
	set, err := BuiltIn()
	require.NoError(t, err)
	empty := set.Judge(derive.Record{}, derive.Result{})
	require.Equal(t, undecided, empty.Standing)
	require.Equal(t, undecided, empty.Causes[0].Name)
	require.NotEmpty(t, empty.NextCheck.Code)
	rec := fullCase()
	rec.Findings, rec.Circumstances = nil, nil
	sound := set.Judge(rec, derive.Numbers(rec))
	require.Equal(t, healthy, sound.Standing)
	require.Equal(t, noneCause, sound.Causes[0].Name)
	require.Equal(t, "none_needed", sound.NextCheck.Code)
	require.NotEmpty(t, sound.Plan)
	for _, c := range sound.Causes[1:] {
		require.False(t, c.stands(), c.Name)
	}
	require.InDelta(t, 1, sound.Causes[0].Chance, 1e-12)
}

// TestChancesShareOne: the chances of a judgement add up to one, and what is ruled
// out has none.
func TestChancesShareOne(t *testing.T) {
	set, err := BuiltIn()
	require.NoError(t, err)
	sound := fullCase()
	for _, j := range []Judgement{
		withFindings(set), withFindings(set, vocab.RodsWornProgressive, vocab.OilDiluted), withFindings(set, vocab.ReedBroken, vocab.OilClean, vocab.Grounded),
		set.Judge(derive.Record{}, derive.Result{}), set.Judge(sound, derive.Numbers(sound)),
	} {
		sum := 0.0
		for _, c := range j.Causes {
			sum += c.Chance
			if c.Standing == RuledOut {
				require.Zero(t, c.Chance, c.Name)
			}
		}
		require.InDelta(t, 1, sum, 1e-9, j.Standing)
	}
}
