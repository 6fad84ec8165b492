package main

import (
	"context"
	"fmt"
	"os"
	"slices"
	"strings"

	"coldcase/bot/caselog"
	"coldcase/bot/crew"
	"coldcase/refdata/lexicon"
)

// runForget takes a person, with the phone and chat id that the crew file knows, out
// of all records. The cases stay whole: a pseudonym stands in their place.
func runForget(ctx context.Context, c console, args []string) error {
	f := newFlags("forget")
	db := f.String("db", "", "where the cases are")
	plain, err := around(f, args)
	if err != nil {
		return err
	}
	typed := strings.Join(plain, " ")
	if typed == "" {
		return wrongUsage("say whom, by name or phone")
	}
	people, err := crew.Open(os.Getenv("COLDCASE_CREW"))
	if err != nil {
		return err
	}
	who, listed, err := whoIs(people, typed)
	if err != nil {
		return err
	}
	return withStore(ctx, c, *db, func(s caselog.Store) error {
		n, err := s.Forget(ctx, who)
		if err != nil {
			return err
		}
		if n == 0 {
			fmt.Fprintf(c.err, "Nothing is kept of %s.\nTry the name as coldcase cases --csv shows it.\n", typed)
			return errFound
		}
		fmt.Fprintf(c.err, "Took %s off %d records.\n", typed, n)
		if listed {
			fmt.Fprintln(c.err, "The crew file still lists them, and copies made with backup still hold them.")
		}
		return nil
	})
}

func whoIs(people *crew.File, typed string) (who caselog.Forgotten, listed bool, err error) {
	all, err := people.Now()
	if err != nil {
		return who, false, err
	}
	typed = strings.Join(strings.Fields(typed), " ")
	p, listed := all.ByName(typed)
	if !listed {
		p, listed = all.ByNumber(typed)
	}
	digits, number := crew.Digits(typed)
	switch {
	case listed:
		who.Name = p.Name
	case number && !strings.HasPrefix(typed, "+"):
		return who, false, wrongUsage("nobody on the crew list has that number: write it with its country code, like +15550100")
	case number:
		who.Addresses = append(who.Addresses, "+"+digits)
	default:
		who.Name = typed
	}
	for _, address := range []string{p.Phone, p.Chat} {
		if address != "" {
			who.Addresses = append(who.Addresses, address)
		}
	}
	who.Ordinary, err = ordinary(who.Name)
	return who, listed, err
}

// ordinary tells a name that is an English word or one of the trade's as well.
func ordinary(name string) (bool, error) {
	words, err := lexicon.Load()
	if err != nil {
		return false, err
	}
	_, typed := words.Variants()[strings.ToLower(name)]
	said := func(phrase string) bool { return slices.ContainsFunc(strings.Fields(phrase), isWord(name)) }
	return typed || slices.ContainsFunc(lexicon.English(), isWord(name)) || slices.ContainsFunc(words.Phrases(), said), nil
}

func isWord(name string) func(string) bool {
	return func(word string) bool { return strings.EqualFold(word, name) }
}
