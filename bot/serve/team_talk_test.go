package serve_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot/caselog"
	"coldcase/bot/rehearse/workspace"
	"coldcase/bot/rulebook"
	"coldcase/bot/team"
)

// said is what the app said last in a room, to everybody or to one person.
func (o *office) said(channel, only string) workspace.Post {
	o.t.Helper()
	all := o.room.All()
	for i := len(all) - 1; i >= 0; i-- {
		if p := all[i]; p.Bot && p.Channel == channel && p.Only == only {
			return p
		}
	}
	require.Fail(o.t, "nothing was said", channel)
	return workspace.Post{}
}

func TestTheButtonsOfTheCard(t *testing.T) {
	bothWays(t, func(t *testing.T, o *office) {
		o.text(inesPhone, "freezer 2 @ Harbor Lane Fish, 448a suct 28 line 8")
		card := o.root("Harbor Lane Fish")
		press := func(user, action string) {
			require.NoError(t, o.room.Press(user, card, action, "1-3", false))
			o.drained()
		}
		press(tomas, "why")
		thread := o.thread(card)
		require.Len(t, thread, 4)
		assert.Contains(t, thread[2], "Tomas")
		assert.Contains(t, thread[3], "Liquid coming back while running: likely")
		press(tomas, "plan")
		assert.Contains(t, o.thread(card)[5], "stop it when liquid comes back", "the caution comes with the plan")
		assert.Len(t, o.heard(inesPhone), 1, "questions to us are not passed on")

		press(marit, "take")
		assert.Contains(t, words(o.root("Harbor Lane Fish")), "in hand: Marit")
		assert.Equal(t, "Marit has taken case 1-3.", o.heard(inesPhone)[1])
		require.NoError(t, o.store.View(t.Context(), func(tx caselog.Tx) error {
			p, err := tx.Person("Marit")
			assert.Equal(t, "1-3", p.Current.String())
			return err
		}))

		press(tomas, "close")
		menu := o.said(teamChannel, tomas)
		assert.Contains(t, words(menu), "Pick the confirmed cause")
		require.NoError(t, o.room.Press(tomas, menu, "close_as", "1-3 floodback running", true))
		o.drained()
		assert.Contains(t, words(o.said(teamChannel, tomas)), "only a lead can close it")
		press(marit, "close")
		menu = o.said(teamChannel, marit)
		require.NoError(t, o.room.Press(marit, menu, "close_as", "1-3 floodback running", true))
		o.drained()
		assert.Contains(t, words(o.root("Harbor Lane Fish")), "Closed: liquid coming back while running")
		o.say(marit, teamChannel, card.TS, "new expansion valve")
		assert.Contains(t, words(o.root("Harbor Lane Fish")), "fitted: new expansion valve")
	})
}

// A teammate's own job stays in hand while he reads along on another one.
func TestAThreadMovesNobodysCase(t *testing.T) {
	o := newOffice(t, true)
	o.text(inesPhone, "freezer 2 @ Harbor Lane Fish, 448a suct 28 line 8")
	card := o.root("Harbor Lane Fish")
	o.text("+15550101", "Juniper Street Creamery, 404a suct 20 line 30") // Marit's own job
	o.say(marit, teamChannel, card.TS, "I read coil out 2 on the controller")
	o.text("+15550101", "liq line 90")
	assert.Contains(t, strings.Join(o.thread(card), "\n"), "coil outlet 2 °F")
	assert.Contains(t, strings.Join(o.thread(o.root("Juniper")), "\n"), "liquid line 90 °F")
	heard := o.heard(inesPhone)
	require.Len(t, heard, 3)
	assert.Equal(t, "Marit: I read coil out 2 on the controller", heard[1])
	assert.Contains(t, heard[2], "coil superheat", "what it means goes to the phone, too")
	o.say(marit, teamChannel, card.TS, "close the valve behind the receiver first")
	assert.Empty(t, closedCases(t, o), "an order among people closes no case")
	o.say(marit, teamChannel, card.TS, "new")
	assert.Contains(t, strings.Join(o.thread(card), "\n"), "This thread is for this case alone")
}

func closedCases(t *testing.T, o *office) (all []caselog.Number) {
	require.NoError(t, o.store.View(t.Context(), func(tx caselog.Tx) error {
		for head, err := range tx.Find(caselog.Filter{}) {
			require.NoError(t, err)
			if !head.Closed.IsZero() {
				all = append(all, head.Number)
			}
		}
		return nil
	}))
	return all
}

func TestPhotosBothWays(t *testing.T) {
	bothWays(t, func(t *testing.T, o *office) {
		o.text(inesPhone, "freezer 2 @ Harbor Lane Fish, 448a suct 28 line 8", jpeg)
		card := o.root("Harbor Lane Fish")
		assert.Contains(t, strings.Join(o.thread(card), "\n"), "[Photo of Ines, image/jpeg,")
		o.say(tomas, teamChannel, card.TS, "this is how the bulb sits", &workspace.File{Name: "bulb.jpg", Bytes: append([]byte{}, append(jpeg, 'x')...)})
		o.say(tomas, teamChannel, card.TS, "", &workspace.File{Name: "page.png", Type: "image/png", Bytes: []byte("<html>")})
		o.say(tomas, teamChannel, card.TS, "", &workspace.File{Name: "big.png", Type: "image/png", Bytes: make([]byte, 6<<20)})
		heard := o.heard(inesPhone)
		assert.Equal(t, []string{"Tomas: this is how the bulb sits", "Tomas sent a photo: https://coldcase.example.org/case/1-3"}, heard[1:])
		all := o.phone.All()
		require.Len(t, all[len(all)-1].Links, 1)
		assert.Contains(t, all[len(all)-1].Links[0], "https://coldcase.example.org/case/1-3/photo/")
		var kept []caselog.Entry
		require.NoError(t, o.store.View(t.Context(), func(tx caselog.Tx) error {
			entries, err := tx.Entries(1)
			for _, e := range entries {
				if e.Kind == caselog.KindPhoto {
					kept = append(kept, e)
				}
			}
			return err
		}))
		require.Len(t, kept, 2)
		assert.Equal(t, "Tomas", kept[1].By)
		thread := strings.Join(o.thread(card), "\n")
		assert.Contains(t, thread, "A photo from the team's thread was not kept: it is not a picture.")
		assert.Contains(t, thread, "A photo from the team's thread was not kept: it is over 5 MB.")
		assert.Equal(t, 1, strings.Count(thread, "[Photo of"), "his own stands there already")
	})
}

func TestALeadAddsAPerson(t *testing.T) {
	bothWays(t, func(t *testing.T, o *office) {
		o.say(tomas, workspace.Direct(tomas), "", "add Sol <@U0SOL> +15550144 tech")
		assert.Contains(t, words(o.said(workspace.Direct(tomas), "")), "Only a lead")
		o.say(marit, workspace.Direct(marit), "", "add Sol <@U0SOL> +15550144 tech")
		assert.Contains(t, words(o.said(workspace.Direct(marit), "")), "Sol is on the crew list as tech")
		o.say(marit, workspace.Direct(marit), "", "add Other <@U0OTHER> +15550144")
		assert.Contains(t, words(o.said(workspace.Direct(marit), "")), "Not added")
		o.text("+15550144", "Quarry Road Market, 404a suct 20 line 30")
		assert.Contains(t, o.heard("+15550144")[0], "New case")
		file, err := os.ReadFile(filepath.Join(o.dir, "crew.yaml"))
		require.NoError(t, err)
		assert.Contains(t, string(file), "Sol")
	})
}

const ourRule = `rules:
  - id: our-low-superheat
    title: Our shop's floor for superheat
    severity: caution
    status: trial
    when: total_superheat_dF < 12
    why: We lost two machines below this.
    also_looks_like: [probe loose]
    sources: [common practice]
    examples:
      - {given: {refrigerant: R448A, suction_pressure: 28 psig, suction_line_temp: 8 F}, expect: fires}
      - {given: {refrigerant: R448A, suction_pressure: 28 psig, suction_line_temp: 40 F}, expect: silent}
`

func TestALeadChangesTheRulesFromChat(t *testing.T) {
	slow(t)
	bothWays(t, func(t *testing.T, o *office) {
		o.text(inesPhone, "freezer 2 @ Harbor Lane Fish, 448a suct 28 line 15")
		dm := workspace.Direct(marit)
		upload := func(user, name, text string) workspace.Post {
			o.say(user, workspace.Direct(user), "", "", &workspace.File{Name: name, Type: "text/plain", Bytes: []byte(text)})
			return o.said(workspace.Direct(user), "")
		}
		assert.Contains(t, words(upload(tomas, "ours.yaml", ourRule)), "Only a lead changes rules")
		bad := words(upload(marit, "ours.yaml", strings.Replace(ourRule, "total_superheat_dF", "total_superheet_dF", 1)))
		assert.Contains(t, bad, "ours.yaml:6:")
		assert.Contains(t, bad, "total_superheat_dF", "the nearest known name")
		bad = words(upload(marit, "ours.yaml", strings.Replace(ourRule, "40 F}, expect: silent", "9 F}, expect: silent", 1)))
		assert.Contains(t, bad, "some fail")

		report := upload(marit, "ours.yaml", ourRule)
		text := words(report)
		assert.Contains(t, text, "no mistakes")
		assert.Contains(t, text, "1 cases, 1 would change")
		assert.Contains(t, text, "our-low-superheat: fires on 1")
		o.text(inesPhone, "suct line 15")
		assert.NotContains(t, o.heard(inesPhone)[1], "shop's floor", "not in force before she says so")
		sha := buttonValue(t, report, "rules_confirm")

		require.NoError(t, o.room.Press(tomas, report, "rules_confirm", sha, false))
		o.drained()
		o.text(inesPhone, "suct line 15")
		assert.NotContains(t, o.heard(inesPhone)[2], "shop's floor", "not by a tech")
		require.NoError(t, o.room.Press(marit, report, "rules_confirm", sha, false))
		o.drained()
		assert.Contains(t, words(o.said(dm, "")), "ours.yaml is in force, put there by Marit")
		o.text(inesPhone, "suct line 15")
		assert.Contains(t, o.heard(inesPhone)[3], "shop's floor")

		o.restart()
		o.text(inesPhone, "suct line 15")
		assert.Contains(t, o.heard(inesPhone)[4], "shop's floor", "in force after a restart")
		o.say(marit, dm, "", "rollback")
		assert.Contains(t, words(o.said(dm, "")), "Rolled back: ours.yaml, which Marit put in force")
		o.text(inesPhone, "suct line 15")
		assert.NotContains(t, o.heard(inesPhone)[5], "shop's floor")

		o.say(marit, dm, "", "```\n"+strings.ReplaceAll(strings.ReplaceAll(ourRule, "<", "&lt;"), ">", "&gt;")+"```")
		assert.Contains(t, words(o.said(dm, "")), "our-low-superheat.yaml: no mistakes")
		o.say(marit, dm, "", "confirm")
		o.say(marit, dm, "", "rules")
		assert.Contains(t, words(o.said(dm, "")), "our-low-superheat.yaml: put in force by Marit")
		require.NoError(t, o.store.View(t.Context(), func(tx caselog.Tx) error {
			history, err := rulebook.History(tx)
			require.Len(t, history, 3)
			assert.Equal(t, []bool{false, true, false}, []bool{history[0].Back, history[1].Back, history[2].Back})
			return err
		}))
	})
}

func buttonValue(t *testing.T, p workspace.Post, action string) string {
	t.Helper()
	_, rest, ok := strings.Cut(string(p.Blocks), `"action_id":"`+action+`","value":"`)
	if !ok {
		_, rest, ok = strings.Cut(string(p.Blocks), `"action_id":"`+action+`"`)
		require.True(t, ok, string(p.Blocks))
		_, rest, ok = strings.Cut(rest, `"value":"`)
	}
	require.True(t, ok)
	value, _, _ := strings.Cut(rest, `"`)
	return value
}

// A text that could not be delivered is told to the whole channel, once.
func TestTheTeamIsToldOfWhatDidNotArrive(t *testing.T) {
	o := newOffice(t, true)
	o.phone.Spoil(func(string) (int, int, string) { return 400, 30007, "" })
	o.text(inesPhone, "freezer 2 @ Harbor Lane Fish, 448a suct 28 line 8")
	card := o.root("Harbor Lane Fish")
	var loud []workspace.Post
	for _, p := range o.room.Thread(card.TS) {
		if p.Broadcast {
			loud = append(loud, p)
		}
	}
	require.Len(t, loud, 1)
	assert.Contains(t, words(loud[0]), "Not sent to ")
	assert.Len(t, o.thread(card), 3)
}

func TestAnEditIsNotedAndReadAsNothing(t *testing.T) {
	bothWays(t, func(t *testing.T, o *office) {
		o.text(inesPhone, "freezer 2 @ Harbor Lane Fish, 448a suct 28 line 8")
		card := o.root("Harbor Lane Fish")
		p := o.say(tomas, teamChannel, card.TS, "coil out 2")
		before := len(o.thread(card))
		change := func(kind, text string) map[string]any {
			old := map[string]any{"type": "message", "user": tomas, "text": "coil out 2", "ts": p.TS, "thread_ts": card.TS}
			e := map[string]any{"type": "message", "subtype": kind, "channel": teamChannel, "channel_type": "channel", "event_ts": p.TS + text, "ts": p.TS + "1", "previous_message": old}
			if kind == "message_changed" {
				e["message"] = map[string]any{"type": "message", "user": tomas, "text": text, "ts": p.TS, "thread_ts": card.TS}
			}
			return map[string]any{"type": "event_callback", "event_id": "Ev" + kind + text, "event": e}
		}
		for range 2 {
			require.NoError(t, o.room.Bring("events_api", change("message_changed", "coil out 20")))
			require.NoError(t, o.room.Bring("events_api", change("message_changed", "coil out 2"))) // a link was unfolded
			require.NoError(t, o.room.Bring("events_api", change("message_deleted", "")))
		}
		o.drained()
		thread := o.thread(card)
		require.Len(t, thread, before+2)
		assert.Contains(t, thread[before], "Tomas changed a message to “coil out 20”")
		assert.Contains(t, thread[before+1], "Tomas took a message away")
		assert.NotContains(t, strings.Join(thread, ""), "outlet 20")
	})
}

func TestTheTeamIsToldOfOverdueVisits(t *testing.T) {
	o := newOffice(t, true)
	o.text(inesPhone, "freezer 2 @ Harbor Lane Fish, 448a suct 28 line 30")
	card := o.root("Harbor Lane Fish")
	require.NoError(t, o.store.Update(t.Context(), func(tx caselog.Tx) error {
		if err := team.Tell(tx, 1, "Case 1-3: follow-up visit 1 of Ines is overdue."); err != nil {
			return err
		}
		return tx.Append(1, []caselog.Entry{{At: time.Now(), Kind: caselog.KindVisit, By: "coldcase", Text: "Case 1-3: follow-up visit 1 of Ines is overdue."}})
	}))
	o.drained()
	last := o.room.Thread(card.TS)
	assert.True(t, last[len(last)-1].Broadcast)
	assert.Contains(t, words(last[len(last)-1]), "overdue")
	assert.Len(t, o.thread(card), 3, "said once")
}

// Photos that come one after the other without a word get one question.
func TestPhotosWithoutWordsGetOneQuestionInTheTeamChat(t *testing.T) {
	o := newOffice(t, true)
	o.say(tomas, workspace.Direct(tomas), "", "Juniper Street Creamery, 404a suct 20 line 30")
	for i := range 3 {
		o.say(tomas, workspace.Direct(tomas), "", "", &workspace.File{Name: "a.jpg", Bytes: append(slices.Clone(jpeg), byte('a'+i))})
	}
	asked, kept := 0, 0
	for _, p := range o.room.All() {
		if p.Bot && p.Channel == workspace.Direct(tomas) && strings.Contains(words(p), "What does it show?") {
			asked++
		}
	}
	for _, e := range o.entries(1) {
		if e.Kind == caselog.KindPhoto {
			kept++
		}
	}
	assert.Equal(t, 1, asked)
	assert.Equal(t, 3, kept)
}
