package workspace

import (
	"embed"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"coldcase/bot/rehearse/stage"
)

//go:embed assets
var assets embed.FS

var pages = stage.Pages(assets)

// Person is one that people can type as.
type Person struct{ Name, ID string }

// Page is where people type as teammates. It has no script: the posts are a frame
// that loads itself again.
type Page struct {
	Room   *Workspace
	People []Person
}

// Handler is the page and the Web API, closed to other sites' forms and scripts.
func (p *Page) Handler() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", p.show)
	mux.HandleFunc("GET /posts", p.posts)
	mux.HandleFunc("GET /photo/{id}", p.photo)
	mux.HandleFunc("POST /say", p.say)
	mux.HandleFunc("POST /press", p.press)
	p.Room.Routes(mux)
	return stage.Closed(mux, assets, "room.css")
}

// place is who looks, and where.
type place struct {
	As      Person
	Direct  bool
	Thread  string // ts of the root that is open
	Picture bool   // nothing to type into
}

func (p *Page) place(v url.Values) place {
	at := place{As: p.People[0], Direct: v.Get("direct") != "", Thread: v.Get("thread"), Picture: v.Get("picture") != ""}
	for _, one := range p.People {
		if one.ID == v.Get("as") {
			at.As = one
		}
	}
	return at
}

// Query is the place in an address.
func (at place) Query() string {
	v := url.Values{"as": {at.As.ID}}
	if at.Direct {
		v.Set("direct", "1")
	}
	if at.Thread != "" {
		v.Set("thread", at.Thread)
	}
	return v.Encode()
}

func (p *Page) channel(at place) string {
	if at.Direct {
		return Direct(at.As.ID)
	}
	return p.Room.Channel
}

func (p *Page) show(w http.ResponseWriter, r *http.Request) {
	at := p.place(r.URL.Query())
	stage.Render(w, pages, "page", map[string]any{"At": at, "People": p.People, "Bot": BotUser, "Trouble": r.URL.Query().Get("trouble") != ""})
}

// shown is one post as the page shows it.
type shown struct {
	Post
	Who     string
	Clock   string
	Blocks  []block
	Replies int
	Root    bool
}

func (p *Page) posts(w http.ResponseWriter, r *http.Request) {
	at := p.place(r.URL.Query())
	var all []shown
	menu := false
	for _, post := range p.Room.All() {
		if !p.seenFrom(at, post) {
			continue
		}
		s := shown{Post: post, Who: p.name(post.User), Clock: clock(post.TS), Blocks: drawn(post), Root: at.Thread == post.TS}
		for _, b := range s.Blocks {
			menu = menu || slices.ContainsFunc(b.Elements, func(e element) bool { return e.Kind == "menu" })
		}
		for _, q := range p.Room.All() {
			if q.Thread == post.TS && q.Channel == post.Channel && q.Only == "" {
				s.Replies++
			}
		}
		all = append(all, s)
	}
	stage.Render(w, pages, "posts", map[string]any{"At": at, "All": all, "Still": menu || at.Picture})
}

// seenFrom tells whether a post is seen from a place.
func (p *Page) seenFrom(at place, post Post) bool {
	if post.Channel != p.channel(at) || post.Only != "" && post.Only != at.As.ID {
		return false
	}
	if at.Thread != "" {
		return post.TS == at.Thread || post.Thread == at.Thread
	}
	return post.Thread == "" || post.Broadcast || at.Direct
}

func (p *Page) name(user string) string {
	for _, one := range p.People {
		if one.ID == user {
			return one.Name
		}
	}
	if user == BotUser {
		return "coldcase"
	}
	return user
}

func clock(ts string) string { return timeOf(ts).Local().Format("15:04:05") }

func (p *Page) photo(w http.ResponseWriter, r *http.Request) {
	p.Room.mu.Lock()
	file, ok := p.Room.files[r.PathValue("id")]
	p.Room.mu.Unlock()
	if !ok || !strings.HasPrefix(http.DetectContentType(file.Bytes), "image/") {
		http.NotFound(w, r)
		return
	}
	w.Header().Set("Content-Type", http.DetectContentType(file.Bytes))
	_, _ = w.Write(file.Bytes)
}

func (p *Page) say(w http.ResponseWriter, r *http.Request) {
	if err := stage.Form(w, r); err != nil {
		http.Error(w, "That file can't be sent: at most 5 MB.", http.StatusBadRequest)
		return
	}
	at := p.place(r.PostForm)
	var files []*File
	if name, b, err := stage.File(r, "file"); err == nil && len(b) > 0 {
		files = append(files, &File{Name: name, Bytes: b})
	}
	text := escape(strings.TrimSpace(r.PostFormValue("text")))
	if text == "" && len(files) == 0 {
		p.back(w, r, at, nil)
		return
	}
	_, err := p.Room.Say(at.As.ID, p.channel(at), at.Thread, text, files...)
	p.back(w, r, at, err)
}

// escape puts what was typed as the provider does: entities, and @coldcase as the
// mention of the app.
func escape(text string) string {
	text = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;").Replace(text)
	return strings.ReplaceAll(text, "@coldcase", "<@"+BotUser+">")
}

func (p *Page) back(w http.ResponseWriter, r *http.Request, at place, err error) {
	query := at.Query()
	if err != nil {
		query += "&trouble=1"
	}
	http.Redirect(w, r, "/?"+query, http.StatusSeeOther)
}

func (p *Page) press(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		http.Error(w, "form", http.StatusBadRequest)
		return
	}
	at := p.place(r.PostForm)
	for _, post := range p.Room.All() {
		if post.TS == r.PostFormValue("ts") && post.Channel == p.channel(at) {
			err := p.Room.Press(at.As.ID, post, r.PostFormValue("action"), r.PostFormValue("value"), r.PostFormValue("choice") != "")
			if at.Thread == "" && !at.Direct { // the answer stands in the thread
				if at.Thread = post.Thread; at.Thread == "" {
					at.Thread = post.TS
				}
			}
			p.back(w, r, at, err)
			return
		}
	}
	http.Error(w, fmt.Sprintf("no such post in %s", p.channel(at)), http.StatusNotFound)
}
