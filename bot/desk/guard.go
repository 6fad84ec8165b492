package desk

import (
	"net"
	"net/http"
	"net/netip"
)

// guard lets only this machine in, and only pages of our own: the caller comes from
// loopback, asks for a name that is this machine's (a foreign name that a resolver was
// talked into pointing here is refused), and no other site's page sends the request.
func guard(next http.Handler) http.Handler {
	ours := http.NewCrossOriginProtection().Handler(next)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !fromHere(r.RemoteAddr) || !namesHere(r.Host) {
			http.Error(w, "The desk opens on its own machine only, at 127.0.0.1 or localhost.", http.StatusForbidden)
			return
		}
		ours.ServeHTTP(w, r)
	})
}

func fromHere(remote string) bool {
	at, err := netip.ParseAddrPort(remote)
	return err == nil && at.Addr().Unmap().IsLoopback()
}

func namesHere(host string) bool {
	if name, _, err := net.SplitHostPort(host); err == nil {
		host = name
	}
	switch host {
	case "localhost", "127.0.0.1", "::1", "[::1]":
		return true
	}
	return false
}
