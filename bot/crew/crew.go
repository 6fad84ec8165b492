// Package crew is the list of people who may talk: a YAML file that is read again
// when it has changed.
package crew

import (
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"
	"time"

	"gopkg.in/yaml.v3"
)

// Role of a person.
type Role string

// The roles. Only a lead changes rules from chat or closes another person's case.
const (
	Tech Role = "tech"
	Lead Role = "lead"
)

// Person is one of the crew.
type Person struct {
	Name  string `yaml:"name"`
	Phone string `yaml:"phone,omitempty"` // +15550100
	Chat  string `yaml:"chat,omitempty"`  // user id of the team chat
	Role  Role   `yaml:"role"`
	Zone  string `yaml:"time_zone,omitempty"` // own; "" is the crew's
}

// Site is a place whose clock differs from the crew's.
type Site struct {
	Name string `yaml:"name"`
	Zone string `yaml:"time_zone"`
}

// Crew is everybody.
type Crew struct {
	TimeZone string   `yaml:"time_zone"`
	Sites    []Site   `yaml:"sites"`
	People   []Person `yaml:"people"`
}

// ByPhone finds a person.
func (c Crew) ByPhone(phone string) (Person, bool) {
	return c.find(func(p Person) bool { return phone != "" && p.Phone == phone })
}

// ByNumber finds a person by a phone number as people write one: with spaces, dots,
// dashes and brackets, without its plus, or without its country code where that leaves
// no doubt.
func (c Crew) ByNumber(typed string) (Person, bool) {
	digits, ok := Digits(typed)
	if !ok {
		return Person{}, false
	}
	if p, ok := c.ByPhone("+" + digits); ok || strings.HasPrefix(strings.TrimSpace(typed), "+") {
		return p, ok
	}
	const mostCode = 3 // digits of a country code, ITU-T E.164
	var found []Person
	for _, p := range c.People {
		if code, ok := strings.CutSuffix(p.Phone, digits); ok && len(code) <= len("+")+mostCode {
			found = append(found, p)
		}
	}
	if len(found) != 1 {
		return Person{}, false
	}
	return found[0], true
}

// Digits are those of a phone number as people write one; false when it is none.
func Digits(typed string) (digits string, ok bool) {
	digits = strings.NewReplacer(" ", "", "(", "", ")", "", ".", "", "-", "", "/", "").Replace(strings.TrimPrefix(strings.TrimSpace(typed), "+"))
	return digits, phoneNumber.FindString("+"+digits) == "+"+digits
}

// ByChat finds a person by the id in the team chat.
func (c Crew) ByChat(id string) (Person, bool) {
	return c.find(func(p Person) bool { return id != "" && p.Chat == id })
}

// ByName finds a person; letter case does not matter.
func (c Crew) ByName(name string) (Person, bool) {
	return c.find(func(p Person) bool { return strings.EqualFold(p.Name, name) })
}

func (c Crew) find(fits func(Person) bool) (Person, bool) {
	for _, p := range c.People {
		if fits(p) {
			return p, true
		}
	}
	return Person{}, false
}

// Zone is where a person's clock stands.
func (c Crew) Zone(p Person) string {
	for _, zone := range []string{p.Zone, c.TimeZone} {
		if zone != "" {
			return zone
		}
	}
	return "UTC"
}

// SiteZone is where the clock of a site stands, "" when it is not listed. Letter case,
// spaces and dashes don't count.
func (c Crew) SiteZone(site string) string {
	for _, s := range c.Sites {
		if site != "" && squeeze(s.Name) == squeeze(site) {
			return s.Zone
		}
	}
	return ""
}

func squeeze(name string) string {
	return strings.NewReplacer(" ", "", "-", "").Replace(strings.ToLower(name))
}

// Mask shows the last two digits of a phone number: enough to tell two apart.
func Mask(phone string) string {
	const shown = 2
	if len(phone) <= shown {
		return phone
	}
	return strings.Repeat("*", len(phone)-shown) + phone[len(phone)-shown:]
}

var phoneNumber = regexp.MustCompile(`\+[1-9]\d{6,14}`)

// MaskAll masks every phone number in a text.
func MaskAll(text string) string {
	if !strings.Contains(text, "+") {
		return text
	}
	return phoneNumber.ReplaceAllStringFunc(text, Mask)
}

// Read reads a crew file. Every mistake is reported at once.
func Read(r io.Reader) (Crew, error) {
	var c Crew
	d := yaml.NewDecoder(r)
	d.KnownFields(true)
	if err := d.Decode(&c); err != nil && !errors.Is(err, io.EOF) {
		return Crew{}, fmt.Errorf("crew file: %w", err)
	}
	return c, c.check()
}

func (c Crew) check() error {
	var wrong []error
	seen := map[string]string{}
	for i := range c.People {
		p := &c.People[i]
		if p.Role == "" {
			p.Role = Tech
		}
		for _, says := range p.mistakes() {
			wrong = append(wrong, fmt.Errorf("crew file: person %d (%s): %s", i+1, p.Name, says))
		}
		for _, key := range []string{strings.ToLower(p.Name), p.Phone, p.Chat} {
			if other, twice := seen[key]; twice && key != "" {
				wrong = append(wrong, fmt.Errorf("crew file: person %d (%s): same name, phone or chat id as %s", i+1, p.Name, other))
			}
			seen[key] = p.Name
		}
	}
	for _, site := range c.Sites {
		if _, err := time.LoadLocation(site.Zone); err != nil || site.Name == "" || site.Zone == "" {
			wrong = append(wrong, fmt.Errorf("crew file: site %q: needs a name and a time_zone like America/New_York", site.Name))
		}
	}
	if _, err := time.LoadLocation(c.TimeZone); err != nil {
		wrong = append(wrong, fmt.Errorf("crew file: time_zone %q: write it like America/New_York", c.TimeZone))
	}
	return errors.Join(wrong...)
}

func (p Person) mistakes() (says []string) {
	if p.Name == "" {
		says = append(says, "no name")
	}
	if p.Phone != "" && phoneNumber.FindString(p.Phone) != p.Phone {
		says = append(says, "write the phone like +15550100")
	}
	if p.Role != Tech && p.Role != Lead {
		says = append(says, "role is tech or lead")
	}
	if _, err := time.LoadLocation(p.Zone); err != nil {
		says = append(says, "write time_zone like America/New_York")
	}
	return says
}
