// Package workspace is a local stand-in of the team chat's provider: the part of its
// Web API that we use, Socket Mode, signed HTTP events, and a page where people type
// as teammates. Tests run the team channel against it, too.
package workspace

import (
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"sync"
	"time"
)

// Workspace keeps every post in memory.
type Workspace struct {
	BotToken, AppToken string
	Secret             string // signs HTTP events
	Channel            string // of the team; the app is in it
	Target             string // where HTTP events go; "" leaves sockets only
	Now                func() time.Time
	Client             *http.Client // brings HTTP events; nil is the usual one

	mu      sync.Mutex
	hooks   Hooks
	made    int
	last    time.Time
	posts   []*Post // oldest first
	files   map[string]*File
	sockets map[*socket]bool
	opened  chan struct{}       // closed when the next socket opens
	waiting map[string]delivery // by envelope: those that are not acknowledged yet
	deaf    int                 // acknowledgements to lose
	turn    int
	host    string // of the stand-in, as last called
	under   sync.WaitGroup
}

// Hooks let a test look at the calls of the Web API and spoil them; each may be nil.
type Hooks struct {
	Seen func(method string, form map[string]string)
	// Trouble is asked before each call: a word is answered as that error, a status
	// other than 0 with that status.
	Trouble func(method string) (status int, word, retryAfter string)
	// After is asked after a call was done: true loses the answer.
	After func(method string) bool
}

func (w *Workspace) client() *http.Client {
	if w.Client == nil {
		return http.DefaultClient
	}
	return w.Client
}

// Hook puts hooks in place of the ones before, also while calls come in.
func (w *Workspace) Hook(h Hooks) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.hooks = h
}

// Ids of our app in the workspace.
const (
	BotUser = "U0COLDCASE"
	botID   = "B0COLDCASE"
	teamID  = "T0REHEARSE"
	appID   = "A0COLDCASE"
)

// Post is one message.
type Post struct {
	Channel, TS, Thread, User string
	Bot                       bool
	Text                      string
	Blocks                    json.RawMessage
	Metadata                  json.RawMessage
	Files                     []*File
	Only                      string // for this person's eyes
	Broadcast, Edited         bool
}

// File is one that was uploaded.
type File struct {
	ID, Name, Title, Type string
	Bytes                 []byte
	done                  bool
}

// All is a copy of what stands in the workspace, oldest first.
func (w *Workspace) All() []Post {
	w.mu.Lock()
	defer w.mu.Unlock()
	all := make([]Post, len(w.posts))
	for i, p := range w.posts {
		all[i] = *p
	}
	return all
}

// Thread is a root with what stands under it.
func (w *Workspace) Thread(root string) []Post {
	return slices.DeleteFunc(w.All(), func(p Post) bool { return p.TS != root && p.Thread != root || p.Only != "" })
}

// id makes ids that look like the provider's. Callers hold the lock.
func (w *Workspace) id(kind string) string {
	w.made++
	return fmt.Sprintf("%s%08d", kind, w.made)
}

// ts is the time, never the same twice. Callers hold the lock.
func (w *Workspace) ts() string {
	at := w.Now().Truncate(time.Microsecond)
	if !at.After(w.last) {
		at = w.last.Add(time.Microsecond)
	}
	w.last = at
	return fmt.Sprintf("%d.%06d", at.Unix(), at.Nanosecond()/1000)
}

func (w *Workspace) find(channel, ts string) *Post {
	for _, p := range w.posts {
		if p.Channel == channel && p.TS == ts && p.Only == "" {
			return p
		}
	}
	return nil
}

// Routes hangs the Web API, the sockets and the files on a mux.
func (w *Workspace) Routes(mux *http.ServeMux) {
	for method, do := range map[string]func(form) answer{
		"auth.test": w.authTest, "chat.postMessage": w.postMessage, "chat.update": w.update, "chat.postEphemeral": w.postEphemeral,
		"conversations.history": w.history, "conversations.replies": w.replies,
		"files.getUploadURLExternal": w.uploadURL, "files.completeUploadExternal": w.completeUpload,
	} {
		mux.HandleFunc("POST /api/"+method, w.method(method, w.BotToken, do))
	}
	mux.HandleFunc("POST /api/apps.connections.open", w.method("apps.connections.open", w.AppToken, nil))
	mux.HandleFunc("GET /socket", w.serveSocket)
	mux.HandleFunc("POST /upload/{id}", w.takeUpload)
	mux.HandleFunc("GET /files/{id}", w.serveFile)
}

// form is a call's fields, each once.
type form map[string]string

type answer map[string]any

func no(word string) answer { return answer{"ok": false, "error": word} }

// method answers one method of the Web API.
func (w *Workspace) method(name, token string, do func(form) answer) http.HandlerFunc {
	return func(rw http.ResponseWriter, r *http.Request) {
		if err := r.ParseForm(); err != nil {
			http.Error(rw, "form", http.StatusBadRequest)
			return
		}
		w.mu.Lock()
		w.host = r.Host
		hooks := w.hooks
		w.mu.Unlock()
		f := form{}
		for k, v := range r.Form {
			f[k] = v[0]
		}
		given := strings.TrimPrefix(r.Header.Get("Authorization"), "Bearer ")
		if given == "" {
			given = f["token"]
		}
		delete(f, "token")
		if hooks.Seen != nil {
			hooks.Seen(name, f)
		}
		if hooks.Trouble != nil {
			if status, word, after := hooks.Trouble(name); status != 0 || word != "" {
				if after != "" {
					rw.Header().Set("Retry-After", after)
				}
				if word == "" {
					http.Error(rw, "<html>trouble</html>", status)
					return
				}
				w.reply(rw, no(word))
				return
			}
		}
		if given != token || token == "" {
			w.reply(rw, no("invalid_auth"))
			return
		}
		if do == nil { // apps.connections.open
			w.reply(rw, answer{"ok": true, "url": "ws://" + r.Host + "/socket"})
			return
		}
		w.mu.Lock()
		out := do(f)
		w.mu.Unlock()
		if hooks.After != nil && hooks.After(name) {
			panic(http.ErrAbortHandler) // the answer is lost on its way
		}
		if _, ok := out["ok"]; !ok {
			out["ok"] = true
		}
		if u, ok := out["upload_url"].(string); ok {
			out["upload_url"] = "http://" + r.Host + u
		}
		w.reply(rw, out)
	}
}

// FilesAt is the host that the files lie at.
func (w *Workspace) FilesAt() string {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.host
}

func (w *Workspace) reply(rw http.ResponseWriter, body any) {
	text, err := json.Marshal(body)
	if err != nil {
		http.Error(rw, "answer", http.StatusInternalServerError)
		return
	}
	rw.Header().Set("Content-Type", "application/json; charset=utf-8")
	_, _ = rw.Write(withHost(text, w.FilesAt())) // the caller has gone when this fails
}

// timeOf a ts.
func timeOf(ts string) time.Time {
	var seconds, micros int64
	_, _ = fmt.Sscanf(ts, "%d.%d", &seconds, &micros) // ours: always both
	return time.Unix(seconds, micros*1000)
}
