package team

import (
	"context"
	"errors"
	"regexp"
	"strings"

	"coldcase/bot/caselog"
	"coldcase/bot/crew"
)

// ownWord does what only the team chat can: add somebody to the crew, and change
// rules. done is false when the words are none of these.
func (t *Team) ownWord(ctx context.Context, h heard) (done bool, err error) {
	fields := strings.Fields(h.typed)
	if len(fields) == 0 {
		return false, nil
	}
	if s, ok := pasted(h.typed); ok {
		return true, t.propose(ctx, h, s)
	}
	alone := len(fields) == 1
	switch strings.ToLower(fields[0]) {
	case "add":
		if p, ok := newcomer(fields[1:]); ok {
			return true, t.hire(ctx, h, p)
		}
	case "rules":
		if alone {
			return true, t.tellRules(ctx, h)
		}
	case "rollback":
		if alone {
			return true, t.rollBack(ctx, h)
		}
	case "confirm":
		if alone {
			return true, t.confirm(ctx, h, "")
		}
	}
	return false, nil
}

var (
	userID = regexp.MustCompile(`^@([UW][0-9A-Z]+)$`)
	number = regexp.MustCompile(`^\+[1-9]\d{6,14}$`)
)

// newcomer reads: NAME @person +15550102 tech, in any order; one of person and phone
// may be missing.
func newcomer(fields []string) (p crew.Person, ok bool) {
	var name []string
	for _, f := range fields {
		role := crew.Role(strings.ToLower(f))
		switch m := userID.FindStringSubmatch(f); {
		case m != nil:
			p.Chat = m[1]
		case number.MatchString(f):
			p.Phone = f
		case role == crew.Tech, role == crew.Lead:
			p.Role = role
		default:
			name = append(name, strings.Trim(f, ",;"))
		}
	}
	if p.Role == "" {
		p.Role = crew.Tech
	}
	p.Name = strings.Join(name, " ")
	return p, p.Name != "" && p.Chat+p.Phone != ""
}

// hire puts a person on the crew list for a lead.
func (t *Team) hire(ctx context.Context, h heard, p crew.Person) error {
	return t.only(ctx, h, func(caselog.Tx) (speech, error) {
		switch {
		case h.who.Role != crew.Lead:
			return saying("Only a lead adds people."), nil
		case t.Hire == nil:
			return saying("There is no crew file that I can write to: add them where COLDCASE_CREW points."), nil
		}
		if there, ok := t.people().ByName(p.Name); ok && there.Phone == p.Phone && there.Chat == p.Chat && there.Role == p.Role {
			return saying(p.Name + " is on the crew list."), nil // an earlier try got as far as this
		}
		err := t.Hire(h.who.Name, p)
		var listed *crew.ListedError
		switch {
		case errors.As(err, &listed):
			return saying("Not added. " + strings.ReplaceAll(listed.Err.Error(), "crew file: ", "")), nil
		case errors.Is(err, crew.ErrNoFile):
			return saying("There is no crew file that I can write to: set COLDCASE_CREW."), nil
		case err != nil:
			return speech{}, err
		}
		t.Log.Info("a person was added to the crew", "name", p.Name, "role", p.Role, "by", h.who.Name)
		return saying(p.Name + " is on the crew list as " + string(p.Role) + ", in force at once."), nil
	})
}
