package rules

import "slices"

// placed is a rule or a sign, by its id and the folder it came from.
type placed interface{ place() (id Text, folder int) }

func (r *Rule) place() (Text, int) { return r.ID, r.folder }
func (g *Sign) place() (Text, int) { return g.ID, g.folder }

// put adds x to a list, or puts it over one of the same id from an earlier folder.
func put[T placed](list []T, x T, file string) ([]T, []error) {
	id, folder := x.place()
	i := slices.IndexFunc(list, func(o T) bool {
		other, _ := o.place()
		return other.Value == id.Value
	})
	if i < 0 {
		return append(list, x), nil
	}
	if _, earlier := list[i].place(); earlier >= folder {
		return list, []error{mistake(file, id, "the id "+id.Value+" is taken: ids are never used twice")}
	}
	list[i] = x
	return list, nil
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
		if near := nearestOf(r.Successor, all); near != "" {
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
