package rehearse

import (
	"embed"
	"fmt"
	"net/http"
	"net/url"
	"slices"

	"coldcase/bot/rehearse/stage"
	"coldcase/bot/reply"
)

//go:embed assets
var assets embed.FS

var pages = stage.Pages(assets)

// Phone is one that people can type as.
type Phone struct{ Name, Number string }

// Page is where people type as a phone. It has no script: the thread is a frame
// that loads itself again.
type Page struct {
	Provider *Provider
	Phones   []Phone
}

// Routes hangs the page on a mux.
func (p *Page) Routes(mux *http.ServeMux) {
	mux.HandleFunc("GET /{$}", p.show)
	mux.HandleFunc("GET /thread", p.thread)
	mux.HandleFunc("POST /text", p.text)
}

// Handler is the page and the API, closed to other sites' forms and scripts.
func (p *Page) Handler() http.Handler {
	mux := http.NewServeMux()
	p.Routes(mux)
	p.Provider.Routes(mux)
	return stage.Closed(mux, assets, "line.css")
}

func (p *Page) known(number string) (string, bool) {
	if number == "" && len(p.Phones) > 0 {
		return p.Phones[0].Number, true
	}
	return number, slices.ContainsFunc(p.Phones, func(q Phone) bool { return q.Number == number })
}

func (p *Page) show(w http.ResponseWriter, r *http.Request) {
	from, ok := p.known(r.URL.Query().Get("from"))
	if !ok {
		http.NotFound(w, r)
		return
	}
	stage.Render(w, pages, "page", map[string]any{"Number": p.Provider.Number, "From": from, "Phones": p.Phones, "Trouble": troubles[r.URL.Query().Get("trouble")]})
}

// troubles are said by name, so that no link can put words on the page.
var troubles = map[string]string{
	"photo": "That photo can't be sent: at most 5 MB.",
	"empty": "Nothing was typed.",
	"line":  "The line did not take it. It is caught up from the provider's list within minutes.",
}

// bubble is one message as the phone shows it.
type bubble struct {
	Message
	At      string
	Parts   []string
	Septets string
	Photos  int // that the phone sent
}

func (p *Page) thread(w http.ResponseWriter, r *http.Request) {
	from, ok := p.known(r.URL.Query().Get("from"))
	if !ok {
		http.NotFound(w, r)
		return
	}
	var all []bubble // newest first: the page's column runs upwards
	for _, m := range slices.Backward(p.Provider.All()) {
		if m.From == from || m.To == from {
			all = append(all, bubbleOf(m))
		}
	}
	stage.Render(w, pages, "thread", all)
}

func bubbleOf(m Message) bubble {
	b := bubble{Message: m, At: m.At.Local().Format("15:04:05"), Parts: reply.Split(m.Body), Photos: len(m.Media)}
	b.Septets = "UCS-2"
	if n := reply.Septets(m.Body); n >= 0 {
		b.Septets = fmt.Sprintf("%d septets", n)
	}
	return b
}

func (p *Page) text(w http.ResponseWriter, r *http.Request) {
	trouble, from := "", ""
	if err := stage.Form(w, r); err != nil {
		trouble = "photo"
	} else if number, ok := p.known(r.PostFormValue("from")); !ok {
		http.Error(w, "no such phone", http.StatusBadRequest)
		return
	} else {
		from = number
		trouble = p.send(r, number)
	}
	http.Redirect(w, r, "/?"+url.Values{"from": {from}, "trouble": {trouble}}.Encode(), http.StatusSeeOther)
}

// send does it, and names the trouble if any.
func (p *Page) send(r *http.Request, from string) string {
	var photos [][]byte
	_, b, err := stage.File(r, "photo")
	if err != nil {
		return "photo"
	}
	if len(b) > 0 {
		photos = append(photos, b)
	}
	body := r.PostFormValue("body")
	if body == "" && len(photos) == 0 {
		return "empty"
	}
	if _, err := p.Provider.Text(r.Context(), from, body, photos...); err != nil {
		return "line"
	}
	return ""
}
