// Package desk is a page on this machine where somebody without an account types
// messages as a tech and sees the reply, what goes on record and the case page grow.
package desk

import (
	"context"
	"fmt"
	"net/http"
	"regexp"
	"slices"
	"sync"
	"time"

	"coldcase/bot/caselog"
	"coldcase/bot/casenumber"
	"coldcase/bot/reply"
	"coldcase/bot/talk"
)

// Source is what the desk's messages are logged under.
const Source = "page"

// Desk is one person's place to type.
type Desk struct {
	Store  caselog.Store
	Handle func(context.Context, caselog.Inbound) (string, error)
	Page   func(caselog.Tx, caselog.Number) (string, error) // where a case's page is
	Person string                                           // who is typing
	Where  string                                           // where the cases are kept, for people
	Now    func() time.Time
	Fail   func(error) // told of what went wrong on our side

	mu     sync.Mutex
	thread []Said // oldest first, since the desk was opened
}

// Said is one message of the conversation at the desk.
type Said struct {
	At   time.Time
	Text string
	Ours bool

	Newest bool // of what was typed: without a script the reader is taken there
}

// kept is how much of the conversation the page shows; the cases have all of it.
const kept = 200

// Routes hangs the desk on a mux. Only this machine's own pages get through.
func (d *Desk) Routes(mux *http.ServeMux) {
	mux.Handle("GET /{$}", guard(http.HandlerFunc(d.show)))
	mux.Handle("POST /say", guard(http.HandlerFunc(d.say)))
	mux.Handle("GET /desk/", guard(http.StripPrefix("/desk/", http.FileServerFS(files))))
}

// say takes a message the whole way, then shows the desk again.
func (d *Desk) say(w http.ResponseWriter, r *http.Request) {
	const most = 64 << 10
	r.Body = http.MaxBytesReader(w, r.Body, most)
	if err := r.ParseForm(); err != nil {
		http.Error(w, "That was too much text for one message.", http.StatusRequestEntityTooLarge)
		return
	}
	if text := r.PostForm.Get("text"); talk.Clean(text) != "" {
		d.take(r.Context(), text, r.PostForm.Get("id"))
	}
	http.Redirect(w, r, "/#newest", http.StatusSeeOther)
}

var formID = regexp.MustCompile(`^[0-9a-f]{32}$`)

// take is one message; the id of its form keeps a second press of the button from
// being a second message.
func (d *Desk) take(ctx context.Context, text, id string) {
	if !formID.MatchString(id) {
		id = token()
	}
	now := d.Now().UTC()
	answer, err := d.Handle(ctx, caselog.Inbound{Source: Source, ID: id, Person: d.Person, Text: text, At: now})
	if err != nil {
		d.Fail(err)
		answer = reply.Trouble(err)
	}
	if answer == "" {
		return // seen before
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	d.thread = append(d.thread, Said{At: now, Text: text}, Said{At: now, Text: answer, Ours: true})
	d.thread = d.thread[max(0, len(d.thread)-kept):]
}

func (d *Desk) said() []Said {
	d.mu.Lock()
	defer d.mu.Unlock()
	all := slices.Clone(d.thread)
	for i := range slices.Backward(all) {
		if !all[i].Ours {
			all[i].Newest = true
			break
		}
	}
	return all
}

// View is all that the desk shows.
type View struct {
	Person, Where string
	Nonce, ID     string // of this showing, and of the message that is typed next
	Thread        []Said
	Case          *Open
	Cases         []Known
	Examples      []string
}

// Open is the case in hand.
type Open struct {
	Number  string
	Place   string
	Address string // of its page
	Record  []Line // what went on record, newest first
}

// Known is another case to choose.
type Known struct{ Number, Place, Standing string }

// Line is one entry of the case.
type Line struct {
	Seq        int
	Kind, Text string
}

// examples are messages to begin with, each a job of its own.
var examples = []string{
	"R404A walk-in freezer 2 @ Juniper Street Creamery, suct 12 line -6 coil out -18 head 235 liq line 88 amb 82",
	"comp dead on Pier 3 freezer 2, R507A semi. head off: suction reed broken, oil clean",
	"size riser 448A -20 evap 9000 btu min 3000 14 ft",
}

// view reads the desk's part of the casebook. chosen is the case that the reader
// asks for, 0 for the one that the person has in hand.
func (d *Desk) view(ctx context.Context, chosen caselog.Number) (View, error) {
	v := View{Person: d.Person, Where: d.Where, Nonce: token(), ID: token(), Thread: d.said(), Examples: examples}
	err := d.Store.View(ctx, func(t caselog.Tx) error {
		n := chosen
		if n == 0 {
			who, err := t.Person(d.Person)
			if err != nil {
				return err
			}
			n = who.Current
		}
		if err := d.known(t, &v); err != nil {
			return err
		}
		if n == 0 && len(v.Cases) > 0 && len(v.Thread) > 0 {
			return nil // a closed case or "new": nothing is in hand
		}
		return d.open(t, n, &v)
	})
	return v, err
}

// mostCases are the newest that are offered.
const mostCases = 12

func (d *Desk) known(t caselog.Tx, v *View) error {
	const lately = 90 * 24 * time.Hour
	for c, err := range t.Find(caselog.Filter{Since: d.Now().Add(-lately)}) {
		if err != nil {
			return err
		}
		state := c.Standing
		if !c.Closed.IsZero() {
			state = "closed"
		}
		v.Cases = append(v.Cases, Known{c.Number.String(), place(c), state})
	}
	slices.Reverse(v.Cases)
	v.Cases = v.Cases[:min(mostCases, len(v.Cases))]
	return nil
}

func place(c caselog.Case) string {
	switch {
	case c.Unit != "" && c.Site != "":
		return c.Unit + " @ " + c.Site
	case c.Unit+c.Site != "":
		return c.Unit + c.Site
	}
	return "unit not named"
}

func (d *Desk) open(t caselog.Tx, n caselog.Number, v *View) error {
	if n == 0 {
		return nil
	}
	head, err := t.Case(n)
	if err != nil {
		return fmt.Errorf("desk: %w", err)
	}
	entries, err := t.Entries(n)
	if err != nil {
		return fmt.Errorf("desk: %w", err)
	}
	at, err := d.Page(t, n)
	if err != nil {
		return err
	}
	v.Case = &Open{Number: n.String(), Place: place(head), Address: at, Record: record(entries)}
	return nil
}

// chosen is the case that an address asks for, 0 without one.
func chosen(r *http.Request) (caselog.Number, error) {
	typed := r.URL.Query().Get("case")
	if typed == "" {
		return 0, nil
	}
	return casenumber.Parse(typed)
}
