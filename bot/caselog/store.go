package caselog

import (
	"context"
	"encoding/json"
	"errors"
	"iter"
	"time"

	"coldcase/bot/casenumber"
)

// Number of a case; String shows it with its check digit.
type Number = casenumber.Number

// What a store can answer besides its own trouble.
var (
	ErrNoCase      = errors.New("no such case")
	ErrNoMedia     = errors.New("no such picture")
	ErrUnsupported = errors.New("this store can't do that")
	// ErrAway: the disk is full, the database is out of reach. Nothing was kept, and the
	// same may go well later: whatever brought the message is to bring it again.
	ErrAway = errors.New("the casebook is away")
)

// Store keeps the casebook. What Receive and Update have returned nil for is on
// the disk: a reply is sent only after that.
type Store interface {
	// Receive records a message under (Source, ID) and runs work in the same
	// transaction. seen: it was recorded before, and work is not run. Messages of
	// one Person run one after the other, over all replicas. work may be run again
	// when the database asks for it, so it changes nothing but the Tx.
	Receive(ctx context.Context, in Inbound, work func(Tx) error) (seen bool, err error)
	// Update runs work in one transaction; an error takes all of it back.
	Update(ctx context.Context, work func(Tx) error) error
	// View runs work on one unchanging state of the casebook; nothing can be written.
	View(ctx context.Context, work func(Tx) error) error
	Queue
	// Backup writes a copy to a new file while the store is used. ErrUnsupported on PostgreSQL.
	Backup(ctx context.Context, file string) error
	// Forget takes a person out of the records; the cases stay whole.
	Forget(ctx context.Context, who Forgotten) (changed int, err error)
	Close() error
}

// Reader is the reading half of a Tx.
type Reader interface {
	Case(Number) (Case, error) // ErrNoCase; in Update and Receive the case is locked until commit
	Entries(Number) ([]Entry, error)
	// Said is Entries without what we worked out on the way: no judgement, and of a
	// reply its words only. That is most of the bytes of a long case.
	Said(Number) ([]Entry, error)
	CasesOfUnit(site, unit string) ([]Case, error) // newest first; letter case and spaces don't matter
	CaseOfThread(thread string) (Number, error)    // channel/ts in the team chat; ErrNoCase
	Find(Filter) iter.Seq2[Case, error]            // by number; the Tx may be used meanwhile
	Person(name string) (Person, error)            // never seen: only Name is set
	Visits(Number) ([]Visit, error)
	OpenVisits() ([]Visit, error) // not done, soonest first; a case is watched on when it is closed
	Media(sha256 string) (Media, error)
	Note(key string) (string, error)          // "" when never set
	Received(source, id string) (bool, error) // the message is recorded
	Outgoing(state State) ([]Outgoing, error) // by id
}

// Tx reads and writes. Entries are only ever added.
// A message that is handled locks its person, then cases, in that order.
type Tx interface {
	Reader
	Open(Case) (Number, error)    // the next number
	SaveCase(Case) error          // the head of the case: site, unit, standing, cause …
	Append(Number, []Entry) error // sets their Seq: 1, 2, 3 … without holes
	SavePerson(Person) error
	Enqueue(...Outgoing) error // a repeated Idem adds nothing; leaves in this order per Dest
	SaveVisit(Visit) error     // new, or changed
	SaveMedia(Media) (sha256 string, err error)
	SaveNote(key, text string) error
}

// Inbound is one message from outside.
type Inbound struct {
	Source string    `json:"source"` // sms, slack, terminal, page
	ID     string    `json:"id"`     // the provider's; "" is always new
	Person string    `json:"person"` // crew name
	Text   string    `json:"text"`
	At     time.Time `json:"at"`
	Thread string    `json:"thread,omitempty"` // chat: channel/ts of the thread's root
	// Overheard: said to others where we listen; answered only when it holds something.
	Overheard bool            `json:"overheard,omitempty"`
	Media     []string        `json:"media,omitempty"` // sha256, or what is still to be fetched
	Form      json.RawMessage `json:"form,omitempty"`  // whatever else came
}

// Case is the head of a case; what happened is in its entries.
type Case struct {
	Number      Number
	Site, Unit  string
	Refrigerant string
	OpenedBy    string
	Opened      time.Time
	LastAt      time.Time // of the last message; Append keeps it
	Closed      time.Time // zero while open
	Cause       string    // the confirmed one
	Standing    string    // of the last judgement
	Thread      string    // channel/ts of its thread in the team chat
	Entries     int       // how many; Append keeps it
}

// Filter chooses cases; zero fields choose all.
type Filter struct {
	Unit, Site, Refrigerant, Cause, Person string // letter case does not matter; spaces in Unit and Site neither
	Since, Until                           time.Time
	OpenOnly                               bool
}

// Person is what is remembered of somebody who writes.
type Person struct {
	Name    string
	Current Number          // 0: the next readings open a case
	Metric  *bool           // choice of units; nil follows what is typed
	Body    json.RawMessage // whatever else the conversation keeps
}

// Visit is one follow-up visit of a watch.
type Visit struct {
	Case     Number
	Visit    int // 1, 2, 3 …
	Due      time.Time
	Wanted   []string // readings
	Person   string   // who is reminded
	Zone     string   // IANA name of the site's time zone
	Reminded time.Time
	Overdue  time.Time // when the team was told
	Done     time.Time
}

// Media is a picture.
type Media struct {
	Type  string
	Bytes []byte
}

// Forgotten says whom to take out: the Name, in any letter case, and every Address
// (phone, chat id) of one person.
type Forgotten struct {
	Name      string
	Addresses []string
	// Ordinary: in small letters the name is an everyday word, too, such as mark. Texts
	// lose it only where it is spelled as a name.
	Ordinary bool
}
