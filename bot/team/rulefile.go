package team

import (
	"context"
	"encoding/json"
	"fmt"
	"regexp"
	"strings"
	"time"

	"coldcase/bot/caselog"
	"coldcase/bot/crew"
	"coldcase/bot/reply"
	"coldcase/bot/rulebook"
	"coldcase/rules"
)

// Rulebook is what the chat needs of the rules in force.
type Rulebook interface {
	InForce() *rules.Set
	// Reload reads the rules again after a change.
	Reload(ctx context.Context) error
}

// Actions under the report on a rule file.
const (
	actConfirm = "rules_confirm"
	actDrop    = "rules_drop"
)

const maxRuleFile = 1 << 20

// ruleFile is the first rule file among what came.
func ruleFile(files []File) *File {
	for _, f := range files {
		if _, ok := rulebook.NameOf(f.Name); ok {
			return &f
		}
	}
	return nil
}

var (
	fenced = regexp.MustCompile("(?s)```(?:ya?ml)?\n?(.+?)```")
	ruleID = regexp.MustCompile(`(?m)^[ \t]*(?:- )?id:[ \t]*([A-Za-z0-9-]+)`)
)

// pasted finds a rule file between ``` and ``` in what was typed. Its name is that
// of its first rule, so that a better one takes its place.
func pasted(typed string) (rulebook.Sheet, bool) {
	m := fenced.FindStringSubmatch(typed)
	if m == nil {
		return rulebook.Sheet{}, false
	}
	id := ruleID.FindStringSubmatch(m[1])
	if id == nil {
		return rulebook.Sheet{}, false
	}
	return rulebook.Sheet{Name: strings.ToLower(id[1]) + ".yaml", Text: []byte(strings.Trim(m[1], "\n") + "\n")}, true
}

// ruleFileCame fetches an uploaded rule file and looks at it.
func (t *Team) ruleFileCame(ctx context.Context, h heard, f File) error {
	if h.who.Role != crew.Lead {
		return t.only(ctx, h, func(caselog.Tx) (speech, error) { return saying(leadsOnly), nil })
	}
	name, _ := rulebook.NameOf(f.Name)
	text, err := t.fetch(ctx, f, maxRuleFile)
	if err != nil {
		return err
	}
	return t.propose(ctx, h, rulebook.Sheet{Name: name, Text: text})
}

const leadsOnly = "Only a lead changes rules."

// proposal is a file that waits for a lead's word.
type proposal struct {
	File   string    `json:"file"`
	SHA256 string    `json:"sha256"`
	By     string    `json:"by"`
	At     time.Time `json:"at"`
}

const lastProposal = "slack/rules/proposed"

func proposalNote(sha string) string { return lastProposal + "/" + sha }

// propose shows what a file would do. Nothing is in force until a lead says so.
func (t *Team) propose(ctx context.Context, h heard, s rulebook.Sheet) error {
	if h.who.Role != crew.Lead || t.Rules == nil {
		return t.only(ctx, h, func(caselog.Tx) (speech, error) { return saying(leadsOnly), nil })
	}
	var report rulebook.Report
	err := t.Store.View(ctx, func(tx caselog.Tx) (err error) {
		report, err = rulebook.Look(tx, t.Rules.InForce(), s)
		return err
	})
	if err != nil {
		return err
	}
	return t.only(ctx, h, func(tx caselog.Tx) (speech, error) {
		out := reportOf(s.Name, report)
		if !report.Good() {
			return out, nil
		}
		sha, err := rulebook.Keep(tx, s)
		if err != nil {
			return speech{}, err
		}
		text, err := asText(proposal{File: s.Name, SHA256: sha, By: h.who.Name, At: h.at})
		if err != nil {
			return speech{}, err
		}
		if err := tx.SaveNote(proposalNote(sha), text); err != nil {
			return speech{}, err
		}
		if err := tx.SaveNote(lastProposal, sha); err != nil {
			return speech{}, err
		}
		out.Button = []button{{actConfirm, "Put in force", sha, true}, {actDrop, "Drop it", sha, false}}
		return out, nil
	})
}

// reportOf says what was found, worst first.
func reportOf(name string, r rulebook.Report) speech {
	switch {
	case r.Mistakes != "":
		s := saying(name + " has mistakes and can't be put in force. Mend them and send it again:")
		s.Typed = r.Mistakes
		return s
	case r.Failed != "":
		s := saying(fmt.Sprintf("%s loads, but of its examples some fail (%d pass). It can't be put in force:", name, r.Passed))
		s.Typed = r.Failed
		return s
	}
	s := saying(fmt.Sprintf("%s: no mistakes, %d examples pass. Tried on the logged cases:", name, r.Passed))
	for _, l := range r.Trial {
		s.Lines = append(s.Lines, reply.Line{Kind: reply.NumberLine, Text: l})
	}
	s.Lines = append(s.Lines, reply.Line{Kind: reply.AskLine, Text: "Not in force yet. Press Put in force, or write: confirm"})
	s.Typed = r.Changes
	return s
}

// rulePressed works on the buttons under a report.
func (t *Team) rulePressed(ctx context.Context, h heard, p Press) error {
	h.ephemeral, h.under = false, p.Thread // everybody sees who did it
	if strings.HasPrefix(p.Channel, "D") && p.Thread == p.TS {
		h.under = ""
	}
	switch p.Action {
	case actConfirm:
		return t.confirm(ctx, h, h.typed)
	case actDrop:
		return t.drop(ctx, h)
	}
	t.Log.Warn("a button that nothing is known of", "action", p.Action)
	return nil
}

// confirm puts a proposed file in force; "" is the last one proposed.
func (t *Team) confirm(ctx context.Context, h heard, sha string) error {
	err := t.only(ctx, h, func(tx caselog.Tx) (speech, error) {
		if h.who.Role != crew.Lead || t.Rules == nil {
			return saying(leadsOnly), nil
		}
		p, ok, err := proposed(tx, sha)
		if err != nil || !ok {
			return saying("No rule file waits for that. Send one, or rules for what is in force."), err
		}
		m, err := tx.Media(p.SHA256)
		if err != nil {
			return speech{}, err
		}
		// other rules may have come into force since it was looked at
		if r, _ := rulebook.Check(t.Rules.InForce(), rulebook.Sheet{Name: p.File, Text: m.Bytes}); !r.Good() {
			return reportOf(p.File, r), nil
		}
		if err := rulebook.PutInForce(tx, rulebook.Change{File: p.File, SHA256: p.SHA256, By: h.who.Name, At: h.at}); err != nil {
			return speech{}, err
		}
		return saying(p.File + " is in force, put there by " + h.who.Name + ". One word takes it back: rollback"), forgetProposal(tx, p.SHA256)
	})
	return t.reloaded(ctx, err)
}

func (t *Team) reloaded(ctx context.Context, err error) error {
	if err != nil || t.Rules == nil {
		return err
	}
	return t.Rules.Reload(ctx)
}

func proposed(tx caselog.Tx, sha string) (p proposal, ok bool, err error) {
	if sha == "" {
		if sha, err = tx.Note(lastProposal); err != nil || sha == "" {
			return p, false, err
		}
	}
	text, err := tx.Note(proposalNote(sha))
	if err != nil || text == "" {
		return p, false, err
	}
	if err := json.Unmarshal([]byte(text), &p); err != nil {
		return p, false, fmt.Errorf("proposed rules: %w", err)
	}
	return p, true, nil
}

func forgetProposal(tx caselog.Tx, sha string) error {
	if err := tx.SaveNote(proposalNote(sha), ""); err != nil {
		return err
	}
	if last, err := tx.Note(lastProposal); err != nil || last != sha {
		return err
	}
	return tx.SaveNote(lastProposal, "")
}

func (t *Team) drop(ctx context.Context, h heard) error {
	return t.only(ctx, h, func(tx caselog.Tx) (speech, error) {
		if h.who.Role != crew.Lead {
			return saying(leadsOnly), nil
		}
		p, ok, err := proposed(tx, h.typed)
		if err != nil || !ok {
			return saying("That file no longer waits."), err
		}
		return saying(p.File + " is dropped."), forgetProposal(tx, p.SHA256)
	})
}

// rollBack takes the last change of the rules back.
func (t *Team) rollBack(ctx context.Context, h heard) error {
	err := t.only(ctx, h, func(tx caselog.Tx) (speech, error) {
		if h.who.Role != crew.Lead {
			return saying(leadsOnly), nil
		}
		back, ok, err := rulebook.RollBack(tx, h.who.Name, h.at)
		if err != nil || !ok {
			return saying("Nothing to roll back: the rules are those of the program and its folder."), err
		}
		return saying(fmt.Sprintf("Rolled back: %s, which %s put in force %s. The rules are as they were before it.", back.File, back.By, back.At.Format("2 Jan 2006 15:04 MST"))), nil
	})
	return t.reloaded(ctx, err)
}

// mostHistory is how many changes are told.
const mostHistory = 10

// tellRules says what is in force, and who changed it when.
func (t *Team) tellRules(ctx context.Context, h heard) error {
	return t.only(ctx, h, func(tx caselog.Tx) (speech, error) {
		all, err := rulebook.History(tx)
		if err != nil || t.Rules == nil {
			return speech{}, err
		}
		set := t.Rules.InForce()
		s := saying(fmt.Sprintf("%d rules in force, version %s.", set.Rules(), set.Version()))
		for i := len(all) - 1; i >= 0 && i >= len(all)-mostHistory; i-- {
			c := all[i]
			did := "put in force by "
			if c.Back {
				did = "rolled back by "
			}
			s.Lines = append(s.Lines, reply.Line{Kind: reply.NumberLine, Text: c.File + ": " + did + c.By + ", " + c.At.Format("2 Jan 2006 15:04 MST")})
		}
		if len(all) == 0 {
			s.Lines = append(s.Lines, reply.Line{Kind: reply.SaidLine, Text: "None was changed from chat. A lead sends a .yaml file, or pastes one between ``` and ```."})
		}
		return s, nil
	})
}
