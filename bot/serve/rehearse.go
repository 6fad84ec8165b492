package serve

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"fmt"
	"net"
	"net/http"
	"time"

	"coldcase/bot/rehearse"
	"coldcase/bot/rehearse/workspace"
	"coldcase/bot/sms"
	"coldcase/bot/team"
)

// RehearsalCrew is who can be played at the stand-ins, besides a stranger.
const RehearsalCrew = `time_zone: America/New_York
people:
  - {name: Ines, phone: "+15550100", chat: U0INES, role: tech}
  - {name: Marit, phone: "+15550101", chat: U0MARIT, role: lead}
  - {name: Tomas, chat: U0TOMAS, role: tech}
`

var rehearsalPhones = []rehearse.Phone{
	{Name: "Ines, tech", Number: "+15550100"},
	{Name: "Marit, lead", Number: "+15550101"},
	{Name: "a stranger", Number: "+15550177"},
}

var rehearsalTeam = []workspace.Person{
	{Name: "Marit", ID: "U0MARIT"}, {Name: "Tomas", ID: "U0TOMAS"}, {Name: "Ines", ID: "U0INES"}, {Name: "a stranger", ID: "U0STRANGER"},
}

// RehearsalTeam starts a stand-in of the team chat's provider on this machine and
// answers the account of our app on it, and the address where people type as
// teammates.
func (s *Server) RehearsalTeam() (account team.Account, page string, err error) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return team.Account{}, "", fmt.Errorf("rehearsal: %w", err)
	}
	page = "http://" + l.Addr().String()
	account = team.Account{BotToken: "xoxb-" + rand.Text(), AppToken: "xapp-" + rand.Text(), Channel: "C0TEAM", API: page}
	room := &workspace.Workspace{BotToken: account.BotToken, AppToken: account.AppToken, Channel: account.Channel, Now: time.Now}
	s.Pause(0)
	s.Work(func(ctx context.Context) {
		s.runPage(ctx, l, (&workspace.Page{Room: room, People: rehearsalTeam}).Handler())
	})
	return account, page, nil
}

// Rehearsal starts a stand-in of the SMS provider on this machine and answers the
// account of the line on it, and the address where people type as a phone.
func (s *Server) Rehearsal() (account sms.Account, page string, err error) {
	var secret [16]byte
	if _, err := rand.Read(secret[:]); err != nil {
		return sms.Account{}, "", fmt.Errorf("rehearsal: %w", err)
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return sms.Account{}, "", fmt.Errorf("rehearsal: %w", err)
	}
	page = "http://" + l.Addr().String()
	account = sms.Account{
		SID: "AC" + hex.EncodeToString(make([]byte, 16)), Token: hex.EncodeToString(secret[:]), From: "+15550199",
		PublicURL: "http://" + s.loopback(), API: page,
	}
	p := &rehearse.Page{Phones: rehearsalPhones, Provider: &rehearse.Provider{
		SID: account.SID, Token: account.Token, Number: account.From, PublicURL: account.PublicURL, Now: time.Now,
	}}
	s.Work(func(ctx context.Context) { s.runPage(ctx, l, p.Handler()) })
	return account, page, nil
}

// loopback is how this machine reaches itself.
func (s *Server) loopback() string {
	_, port, err := net.SplitHostPort(s.Addr())
	if err != nil {
		return s.Addr()
	}
	return net.JoinHostPort("127.0.0.1", port)
}

func (s *Server) runPage(ctx context.Context, l net.Listener, h http.Handler) {
	server := &http.Server{Handler: h, ReadHeaderTimeout: readWithin, ReadTimeout: writeWithin, WriteTimeout: writeWithin}
	stop := context.AfterFunc(ctx, func() {
		quit, done := context.WithTimeout(context.WithoutCancel(ctx), stopWithin)
		defer done()
		_ = server.Shutdown(quit) // nothing of value is lost with the stand-in
	})
	defer stop()
	if err := server.Serve(l); err != nil && ctx.Err() == nil {
		s.Log.Error("the rehearsal page stopped", "err", err)
	}
}
