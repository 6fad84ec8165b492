package serve

import (
	"errors"
	"net"
	"time"

	"coldcase/bot"
	"coldcase/bot/caselog"
	"coldcase/bot/desk"
)

// ErrNotHere: the server listens to more than this machine.
var ErrNotHere = errors.New("the desk opens on a loopback address only")

// DeskParts are what the local desk takes from elsewhere.
type DeskParts struct {
	Page   func(caselog.Tx, caselog.Number) (string, error) // the path of a case's page
	Person string                                           // who is typing
	Where  string                                           // where the cases are kept
}

// Desk opens the local desk and tells its address.
func (s *Server) Desk(b *bot.Bot, parts DeskParts) (string, error) {
	if at, ok := s.listener.Addr().(*net.TCPAddr); !ok || !at.IP.IsLoopback() {
		return "", ErrNotHere
	}
	d := &desk.Desk{
		Store: b.Store, Handle: b.Handle, Page: parts.Page, Person: parts.Person, Where: parts.Where, Now: time.Now,
		Fail: func(err error) { s.Log.Error("desk", "err", err) },
	}
	s.Route(d.Routes)
	return "http://" + s.Addr() + "/", nil
}
