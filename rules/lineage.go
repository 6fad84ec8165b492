package rules

import "slices"

// addSign puts a sign in, over one of the same id when a later folder says so.
func (s *Set) addSign(g *Sign, file string, folder int) []error {
	g.folder = folder
	i := slices.IndexFunc(s.signs, func(o *Sign) bool { return o.ID.Value == g.ID.Value })
	switch {
	case i < 0:
		s.signs = append(s.signs, g)
	case s.signs[i].folder < folder:
		s.signs[i] = g
	default:
		return []error{mistake(file, g.ID, "the id "+g.ID.Value+" is taken: ids are never used twice")}
	}
	return nil
}

// checkRules holds what rules say of each other and of topics: a retired rule
// names the one that took its place, and the line of successors has an end.
func (s *Set) checkRules() (wrong []error) {
	byID, all := map[string]*Rule{}, []string{}
	for _, r := range s.rules {
		byID[r.ID.Value] = r
		all = append(all, r.ID.Value)
	}
	for _, f := range s.files {
		for i := range f.Rules {
			wrong = append(wrong, s.checkRule(f.path, &f.Rules[i], byID, all)...)
		}
	}
	return wrong
}

func (s *Set) checkRule(file string, r *Rule, byID map[string]*Rule, all []string) (wrong []error) {
	say := func(text string) { wrong = append(wrong, mistake(file, r.ID, text)) }
	if r.NextCheck != "" && s.topics[r.NextCheck] == "" {
		say("no words for the topic " + r.NextCheck + ": add it under topics")
	}
	for cause, strength := range r.Supports {
		if strength != "strong" && strength != "some" {
			say("supports " + cause + ": want strong or some")
		}
	}
	switch {
	case r.Successor == "" && r.Status == "retired":
		say("a retired rule names its successor")
	case r.Successor != "" && byID[r.Successor] == nil:
		text := "no rule is called " + r.Successor
		if near := nearest(r.Successor, all); near != "" {
			text += "; did you mean " + near + "?"
		}
		say(text)
	case circular(r, byID):
		say("the successors go round in a circle: " + r.Successor)
	}
	return wrong
}

// circular tells whether following the successors comes back to the rule.
func circular(r *Rule, byID map[string]*Rule) bool {
	next := r.Successor
	for range byID {
		if next == r.ID.Value {
			return true
		}
		o := byID[next]
		if o == nil {
			return false
		}
		next = o.Successor
	}
	return false
}
