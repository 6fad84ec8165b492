package workspace

import (
	"bytes"
	"encoding/json"
	"net/http"
	"sync"
	"time"

	"github.com/gorilla/websocket"
)

// socket is one connection of the app.
type socket struct {
	w     *Workspace
	conn  *websocket.Conn
	host  string
	write sync.Mutex
}

var upgrader = websocket.Upgrader{CheckOrigin: func(*http.Request) bool { return true }}

// pingEvery is within the half minute that the app waits for a ping.
const pingEvery = 5 * time.Second

// serveSocket says hello, pings, and reads acknowledgements until the end.
func (w *Workspace) serveSocket(rw http.ResponseWriter, r *http.Request) {
	conn, err := upgrader.Upgrade(rw, r, nil)
	if err != nil {
		return
	}
	s := &socket{w: w, conn: conn, host: r.Host}
	s.send(answer{"type": "hello", "num_connections": 1, "connection_info": answer{"app_id": appID}, "debug_info": answer{"host": "rehearsal", "approximate_connection_time": 3600}})
	w.plug(s)
	done := make(chan struct{})
	w.under.Go(func() { s.ping(done) })
	s.read()
	close(done)
	w.unplug(s)
	_ = conn.Close() // it is gone already
}

// plug lets events go out by a socket.
func (w *Workspace) plug(s *socket) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.sockets == nil {
		w.sockets = map[*socket]bool{}
	}
	w.sockets[s] = true
	if w.opened != nil {
		close(w.opened)
		w.opened = nil
	}
}

// unplug gives up a socket and what went out by it without being acknowledged.
func (w *Workspace) unplug(s *socket) {
	w.mu.Lock()
	defer w.mu.Unlock()
	delete(w.sockets, s)
	for id, d := range w.waiting {
		if d.by == s {
			w.settle(id, false)
		}
	}
}

// delivery is an event on its way by a socket.
type delivery struct {
	by    *socket
	acked chan bool // false: it was lost, or its acknowledgement was
}

// settle ends a delivery. Callers hold the lock.
func (w *Workspace) settle(id string, acked bool) {
	if d, ok := w.waiting[id]; ok {
		d.acked <- acked
		delete(w.waiting, id)
	}
}

// deliver sends an event by one of the sockets, once one is open.
func (w *Workspace) deliver(id string, event func(*socket) answer, giveUp <-chan time.Time) (acked bool) {
	for {
		s, d, opened := w.begin(id)
		if s != nil {
			s.send(event(s))
			select {
			case acked = <-d.acked:
				return acked
			case <-giveUp:
				return false
			}
		}
		select {
		case <-opened:
		case <-giveUp:
			return false
		}
	}
}

// begin chooses the socket of a delivery; without any, it tells when one opens.
func (w *Workspace) begin(id string) (*socket, delivery, <-chan struct{}) {
	w.mu.Lock()
	defer w.mu.Unlock()
	s := w.nextSocket()
	if s == nil {
		if w.opened == nil {
			w.opened = make(chan struct{})
		}
		return nil, delivery{}, w.opened
	}
	d := delivery{by: s, acked: make(chan bool, 1)}
	if w.waiting == nil {
		w.waiting = map[string]delivery{}
	}
	w.waiting[id] = d
	return s, d, nil
}

func (s *socket) ping(done <-chan struct{}) {
	tick := time.NewTicker(pingEvery)
	defer tick.Stop()
	for {
		if s.conn.WriteControl(websocket.PingMessage, nil, time.Now().Add(time.Second)) != nil {
			return
		}
		select {
		case <-done:
			return
		case <-tick.C:
		}
	}
}

func (s *socket) read() {
	for {
		var ack struct {
			ID string `json:"envelope_id"`
		}
		_, b, err := s.conn.ReadMessage()
		if err != nil {
			return
		}
		if json.Unmarshal(b, &ack) != nil || ack.ID == "" {
			continue
		}
		s.w.acked(ack.ID)
	}
}

func (w *Workspace) acked(id string) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.deaf > 0 {
		w.deaf--
		w.settle(id, false)
		return
	}
	w.settle(id, true)
}

func (s *socket) send(what answer) {
	s.write.Lock()
	defer s.write.Unlock()
	_ = s.conn.WriteJSON(what) // a broken connection: the event comes again
}

// files gives the files in an event the address of this stand-in.
func (s *socket) files(body []byte) []byte { return withHost(body, s.host) }

func withHost(body []byte, host string) []byte {
	return bytes.ReplaceAll(body, []byte(fileHost), []byte("http://"+host+"/files/"))
}

// nextSocket takes turns. Callers hold the lock.
func (w *Workspace) nextSocket() *socket {
	var all []*socket
	for s := range w.sockets {
		all = append(all, s)
	}
	if len(all) == 0 {
		return nil
	}
	w.turn++
	return all[w.turn%len(all)]
}

// Sockets tells how many are open.
func (w *Workspace) Sockets() int {
	w.mu.Lock()
	defer w.mu.Unlock()
	return len(w.sockets)
}

// LoseAcks loses the next acknowledgements, so that their events come again: at once,
// where the provider would wait for them.
func (w *Workspace) LoseAcks(n int) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.deaf = n
}

// Refresh asks every socket to connect anew, as the provider does now and then.
func (w *Workspace) Refresh() {
	for _, s := range w.open() {
		s.send(answer{"type": "disconnect", "reason": "refresh_requested", "debug_info": answer{"host": "rehearsal"}})
	}
}

// Drop breaks every socket without a word.
func (w *Workspace) Drop() {
	for _, s := range w.open() {
		_ = s.conn.NetConn().Close()
	}
}

func (w *Workspace) open() []*socket {
	w.mu.Lock()
	defer w.mu.Unlock()
	var all []*socket
	for s := range w.sockets {
		all = append(all, s)
	}
	return all
}
