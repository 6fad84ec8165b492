package main

import (
	"fmt"
	"strings"
)

// fluidSheet lays one fluid out: its own section, then one for every object.
func fluidSheet(o *object) string {
	var out strings.Builder
	fmt.Fprintf(&out, "# %s, %s. Molar SI units inside; figures from the publications named as source.\n", o.text("name"), o.text("chemical_name"))
	kind := "pure"
	if o.values["pseudo_pure"] == true {
		kind = "pseudo-pure"
	}
	fmt.Fprintf(&out, "\n[fluid]\nname %s\nkind %s\n", o.text("name"), kind)
	for _, key := range []string{"chemical_name", "cas", "formula", "molar_mass_kg_mol", "gas_constant_J_mol_K", "acentric"} {
		line(&out, key, o.text(key))
	}
	if s := o.object("source"); s != nil {
		line(&out, "source", citation(s.object("eos")))
		line(&out, "source_cp0", citation(s.object("cp0")))
	}
	for _, key := range o.keys {
		if sub := o.object(key); sub != nil && key != "source" {
			section(&out, key, sub)
		}
	}
	return out.String()
}

// section writes an object's plain values, then the objects in it.
func section(out *strings.Builder, name string, o *object) {
	var lines strings.Builder
	for _, key := range o.keys {
		if key == "source" {
			line(&lines, key, citation(o.object(key)))
		} else if o.object(key) == nil {
			line(&lines, key, text(o.column(key)))
		}
	}
	if lines.Len() > 0 {
		fmt.Fprintf(out, "\n[%s]\n%s", name, lines.String())
	}
	for _, key := range o.keys {
		// What an earlier model of the same property gave is not carried on.
		if sub := o.object(key); sub != nil && key != "source" && key != "alternative" {
			section(out, name+"."+key, sub)
		}
	}
}

// column is a value of a section; exponents n beyond the coefficients A, which
// three files have, belong to nothing.
func (o *object) column(key string) any {
	n, _ := o.list(key)
	a, ok := o.list("A")
	if key == "n" && ok && len(n) > len(a) {
		return n[:len(a)]
	}
	return o.values[key]
}

func line(out *strings.Builder, key, value string) {
	if value != "" {
		fmt.Fprintf(out, "%s %s\n", key, value)
	}
}

// citation is "authors; title; journal volume (year) pages; doi", as far as known.
func citation(o *object) string {
	if o == nil {
		return ""
	}
	var authors []string
	list, _ := o.list("authors")
	for _, a := range list {
		authors = append(authors, text(a))
	}
	where := o.text("title")
	if j := o.text("journal"); j != "" {
		where += "; " + j
	}
	if v := o.text("volume"); v != "" {
		where += " " + v
	}
	where += " (" + o.text("year") + ")"
	if p := o.text("pages"); p != "" {
		where += " " + p
	}
	if doi := o.text("doi"); doi != "" {
		where += "; doi " + doi
	}
	return strings.Join(authors, ", ") + "; " + where
}

// pairSheet lays the binary parameters of the pairs that our blends have out, and
// the departure functions that these name.
func pairSheet(o *object) string {
	var out strings.Builder
	out.WriteString("# Binary parameters of the multi-fluid model: beta belongs to the ordered pair i, j.\n\n[mixture]\n")
	line(&out, "gas_constant_J_mol_K", o.text("gas_constant_mixture_J_mol_K"))
	sources, named := o.object("sources"), map[string]bool{}
	pairs, _ := o.list("pairs")
	for _, v := range pairs {
		p, ok := v.(*object)
		if blends, _ := p.list("used_by"); ok && len(blends) > 0 {
			named[p.text("departure")] = true
			pairSection(&out, p, sources)
		}
	}
	functions := o.object("departure_functions")
	for _, name := range functions.keys {
		if named[name] {
			departureSection(&out, name, functions.object(name), sources)
		}
	}
	return out.String()
}

func pairSection(out *strings.Builder, p, sources *object) {
	fmt.Fprintf(out, "\n[pair.%s/%s]\n", p.text("i"), p.text("j"))
	for _, key := range []string{"betaT", "gammaT", "betaV", "gammaV"} {
		line(out, key, p.text(key))
	}
	if d := p.text("departure"); d != "" {
		line(out, "F", p.text("F"))
		line(out, "departure", d)
	}
	line(out, "quality", p.text("quality"))
	line(out, "source", citation(sources.object(p.text("source"))))
}

func departureSection(out *strings.Builder, name string, f, sources *object) {
	for _, kind := range f.keys {
		if terms := f.object(kind); terms != nil {
			section(out, "departure."+name+"."+kind, terms)
			line(out, "source", citation(sources.object(f.text("source"))))
		}
	}
}
