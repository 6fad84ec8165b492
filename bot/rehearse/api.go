package rehearse

import (
	"encoding/json"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"coldcase/bot/reply"
	"coldcase/refdata/carrier"
)

// Routes hangs the REST API on a mux.
func (p *Provider) Routes(mux *http.ServeMux) {
	mux.HandleFunc("POST "+p.path("Messages.json"), p.known(p.create))
	mux.HandleFunc("GET "+p.path("Messages.json"), p.known(p.list))
	mux.HandleFunc("GET "+p.path("Messages/{sid}/Media.json"), p.known(p.listMedia))
	mux.HandleFunc("GET "+p.path("Messages/{sid}/Media/{media}"), p.known(p.file))
}

// known lets the account's own credentials through.
func (p *Provider) known(next http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		sid, token, _ := r.BasicAuth()
		if sid != p.SID || token != p.Token {
			p.fail(w, http.StatusUnauthorized, 20003, "Authenticate")
			return
		}
		if trouble := p.spoiled(); trouble != nil {
			if status, code, after := trouble(r.PostFormValue("To")); status != 0 {
				if after != "" {
					w.Header().Set("Retry-After", after)
				}
				p.fail(w, status, code, "trouble")
				return
			}
		}
		next(w, r)
	}
}

func (p *Provider) fail(w http.ResponseWriter, status, code int, text string) {
	if code == 0 { // a gateway in front of the API answers in HTML
		http.Error(w, "<html>"+text+"</html>", status)
		return
	}
	p.write(w, status, map[string]any{"code": code, "message": text, "more_info": "", "status": status})
}

func (p *Provider) write(w http.ResponseWriter, status int, body any) {
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(status)
	_ = json.NewEncoder(w).Encode(body) // the caller has gone when this fails
}

const maxText = 1600

func (p *Provider) create(w http.ResponseWriter, r *http.Request) {
	to, from, body := r.PostFormValue("To"), r.PostFormValue("From"), r.PostFormValue("Body")
	switch {
	case from != p.Number:
		p.fail(w, http.StatusBadRequest, 21606, "From is not a number of this account")
		return
	case !strings.HasPrefix(to, "+"):
		p.fail(w, http.StatusBadRequest, 21211, "To is not a phone number")
		return
	case utf8.RuneCountInString(body) > maxText:
		p.fail(w, http.StatusBadRequest, 21617, "Body is over 1600 characters")
		return
	case body == "":
		p.fail(w, http.StatusBadRequest, 21602, "Body is empty")
		return
	}
	p.mu.Lock()
	if p.silent[to] {
		p.mu.Unlock()
		p.fail(w, http.StatusBadRequest, 21610, "the number has opted out")
		return
	}
	m := &Message{SID: p.sid("SM"), From: from, To: to, Body: body, At: p.Now(), State: "queued", callback: r.PostFormValue("StatusCallback"), Links: r.PostForm["MediaUrl"]}
	p.messages = append(p.messages, m)
	said := *m
	p.mu.Unlock()
	p.write(w, http.StatusCreated, p.resource(said))
	p.report(said, "sent", "delivered")
}

// heed keeps who has opted out, by the words that the carriers act on. Callers hold
// the lock.
func (p *Provider) heed(from, body string) {
	switch carrier.ActOn(body) {
	case carrier.ActStop:
		if p.silent == nil {
			p.silent = map[string]bool{}
		}
		p.silent[from] = true
	case carrier.ActStart:
		delete(p.silent, from)
	}
}

func (p *Provider) resource(m Message) map[string]any {
	direction := "outbound-api"
	if m.Inbound {
		direction = "inbound"
	}
	uri := p.path("Messages/" + m.SID + ".json")
	at := m.At.UTC().Format(time.RFC1123Z)
	return map[string]any{
		"sid": m.SID, "account_sid": p.SID, "from": m.From, "to": m.To, "body": m.Body, "direction": direction, "status": m.State,
		"num_media": strconv.Itoa(len(m.Media)), "num_segments": strconv.Itoa(reply.Segments(m.Body)), "api_version": "2010-04-01",
		"date_created": at, "date_sent": at, "date_updated": at, "uri": uri, "error_code": nil, "error_message": nil,
		"messaging_service_sid": nil, "price": nil, "price_unit": "USD", "subresource_uris": map[string]string{"media": strings.TrimSuffix(uri, ".json") + "/Media.json"},
	}
}

func (p *Provider) list(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	after, _ := time.Parse(time.RFC3339, q.Get("DateSent>")) // none: all
	size, _ := strconv.Atoi(q.Get("PageSize"))
	if size <= 0 {
		size = 50
	}
	page, _ := strconv.Atoi(q.Get("Page"))
	found := p.kept(q.Get("From"), q.Get("To"), after)
	slices.Reverse(found) // newest first
	from, to := min(page*size, len(found)), min((page+1)*size, len(found))
	listed := []map[string]any{}
	for _, m := range found[from:to] {
		listed = append(listed, p.resource(m))
	}
	var next any
	if to < len(found) {
		q.Set("Page", strconv.Itoa(page+1))
		next = r.URL.Path + "?" + q.Encode()
	}
	p.write(w, http.StatusOK, map[string]any{
		"messages": listed, "page": page, "page_size": size, "start": from, "end": max(to-1, 0), "uri": r.URL.RequestURI(),
		"first_page_uri": r.URL.RequestURI(), "next_page_uri": next, "previous_page_uri": nil,
	})
}

// kept are the messages of a sender and a receiver ("" is any) since a second.
func (p *Provider) kept(from, to string, after time.Time) []Message {
	after = after.Truncate(time.Second)
	p.mu.Lock()
	defer p.mu.Unlock()
	var all []Message
	for _, m := range p.messages {
		if (to == "" || to == m.To) && (from == "" || from == m.From) && !m.At.Before(after) {
			all = append(all, *m)
		}
	}
	return all
}

func (p *Provider) find(sid string) (Message, bool) {
	for _, m := range p.All() {
		if m.SID == sid {
			return m, true
		}
	}
	return Message{}, false
}

func (p *Provider) listMedia(w http.ResponseWriter, r *http.Request) {
	m, ok := p.find(r.PathValue("sid"))
	if !ok {
		p.fail(w, http.StatusNotFound, 20404, "no such message")
		return
	}
	at := m.At.UTC().Format(time.RFC1123Z)
	list := []map[string]any{}
	for _, id := range m.Media {
		list = append(list, map[string]any{
			"sid": id, "account_sid": p.SID, "parent_sid": m.SID, "content_type": "image/jpeg", "date_created": at, "date_updated": at,
			"uri": p.path("Messages/" + m.SID + "/Media/" + id + ".json"),
		})
	}
	p.write(w, http.StatusOK, map[string]any{
		"media_list": list, "page": 0, "page_size": 50, "start": 0, "end": len(list), "uri": r.URL.RequestURI(), "first_page_uri": r.URL.RequestURI(),
		"next_page_uri": nil, "previous_page_uri": nil,
	})
}

func (p *Provider) file(w http.ResponseWriter, r *http.Request) {
	p.mu.Lock()
	b, ok := p.media[r.PathValue("media")]
	p.mu.Unlock()
	if !ok {
		p.fail(w, http.StatusNotFound, 20404, "no such media")
		return
	}
	w.Header().Set("Content-Type", http.DetectContentType(b))
	_, _ = w.Write(b)
}
