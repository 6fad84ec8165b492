package rules

import "slices"

// origin is the folder that an entry came from: the later has its way.
type origin struct{ folder int }

func (o *origin) from() int       { return o.folder }
func (o *origin) came(folder int) { o.folder = folder }

// entry is anything of a rule file that a later folder can put another over. Its
// id is its own when it was written as one; then no other of its folder has it.
type entry interface {
	from() int
	came(folder int)
	identity() (id Text, own bool)
}

func (r *Rule) identity() (Text, bool)        { return r.ID, true }
func (g *Sign) identity() (Text, bool)        { return g.ID, true }
func (c *CauseRule) identity() (Text, bool)   { return c.Name, true }
func (x *Exclusion) identity() (Text, bool)   { return named(x.ID, x.Cause, "ruled-out-"+x.Cause.Value) }
func (m *Mark) identity() (Text, bool)        { return named(m.ID, m.Cause, "mark-"+m.Cause.Value) }
func (f *FaultRule) identity() (Text, bool)   { return named(f.ID, f.Fault, f.Fault.Value) }
func (s *Step) identity() (Text, bool)        { return named(s.ID, s.Topic, s.For+"-"+s.Topic.Value) }
func (a *AskRule) identity() (Text, bool)     { return named(a.ID, a.ID, "") }
func (c *CautionRule) identity() (Text, bool) { return c.ID, false }

// named is the id that was written, or the name that an entry goes by without one.
func named(id, at Text, name string) (Text, bool) {
	if id.Value != "" {
		return id, true
	}
	at.Value = name
	return at, false
}

// put adds x to a list, or puts it over those of its id from an earlier folder.
func put[T entry](list *[]T, x T, folder int, file string) (wrong []error) {
	x.came(folder)
	id, own := x.identity()
	if id.Value == "" {
		*list = append(*list, x)
		return nil
	}
	same := func(o T) bool { other, _ := o.identity(); return other.Value == id.Value }
	at := slices.IndexFunc(*list, func(o T) bool { return same(o) && o.from() < folder })
	if own && slices.ContainsFunc(*list, func(o T) bool { return same(o) && o.from() == folder }) {
		return []error{mistake(file, id, "the id "+id.Value+" is taken: ids are never used twice")}
	}
	if at < 0 {
		*list = append(*list, x)
		return nil
	}
	(*list)[at] = x
	*list = slices.DeleteFunc(*list, func(o T) bool { return same(o) && o.from() < folder })
	return nil
}

// ownFirst puts what later folders added ahead of the built-in ones, in whose
// order the first that applies is taken.
func ownFirst(list []*Step, builtIn map[string]bool) []*Step {
	var added, rest []*Step
	for _, s := range list {
		id, _ := s.identity()
		if s.folder > 0 && !builtIn[id.Value] {
			added = append(added, s)
		} else {
			rest = append(rest, s)
		}
	}
	return append(added, rest...)
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
