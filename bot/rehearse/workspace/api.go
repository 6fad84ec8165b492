package workspace

import (
	"encoding/json"
	"fmt"
	"io"
	"mime"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

func (w *Workspace) authTest(form) answer {
	return answer{"url": "https://rehearsal.example.org/", "team": "Rehearsal", "user": "coldcase", "team_id": teamID, "user_id": BotUser, "bot_id": botID}
}

// room is the channel that a message goes to: a person's id opens a direct one.
func room(channel string) string {
	if strings.HasPrefix(channel, "U") {
		return "D" + channel[1:]
	}
	return channel
}

func (w *Workspace) inside(channel string) bool {
	return channel == w.Channel || strings.HasPrefix(channel, "D")
}

// checked is a post of ours when the provider would take it.
func (w *Workspace) checked(f form) (*Post, string) {
	p := &Post{Channel: room(f["channel"]), Thread: f["thread_ts"], User: BotUser, Bot: true, Text: f["text"], Broadcast: f["reply_broadcast"] == "true"}
	if !w.inside(p.Channel) {
		return nil, "channel_not_found"
	}
	if p.Thread != "" && w.find(p.Channel, p.Thread) == nil {
		return nil, "thread_not_found"
	}
	if utf8.RuneCountInString(p.Text) > 40000 {
		return nil, "msg_too_long"
	}
	if f["blocks"] != "" {
		if why := wrongBlocks(f["blocks"]); why != "" {
			return nil, why
		}
		p.Blocks = json.RawMessage(f["blocks"])
	}
	if p.Text == "" && p.Blocks == nil {
		return nil, "no_text"
	}
	if f["metadata"] != "" {
		var m struct {
			Type string `json:"event_type"`
		}
		if json.Unmarshal([]byte(f["metadata"]), &m) != nil || m.Type == "" {
			return nil, "invalid_metadata_format"
		}
		p.Metadata = json.RawMessage(f["metadata"])
	}
	return p, ""
}

func (w *Workspace) postMessage(f form) answer {
	p, why := w.checked(f)
	if why != "" {
		return no(why)
	}
	p.TS = w.ts()
	w.posts = append(w.posts, p)
	return answer{"channel": p.Channel, "ts": p.TS, "message": w.resource(p)}
}

func (w *Workspace) postEphemeral(f form) answer {
	p, why := w.checked(f)
	switch {
	case why != "":
		return no(why)
	case f["user"] == "":
		return no("user_not_in_channel")
	}
	p.TS, p.Only = w.ts(), f["user"]
	w.posts = append(w.posts, p)
	return answer{"message_ts": p.TS}
}

func (w *Workspace) update(f form) answer {
	p, why := w.checked(form{"channel": f["channel"], "text": f["text"], "blocks": f["blocks"]})
	if why != "" {
		return no(why)
	}
	old := w.find(p.Channel, f["ts"])
	if old == nil || !old.Bot {
		return no("message_not_found")
	}
	old.Text, old.Blocks, old.Edited = p.Text, p.Blocks, true
	return answer{"channel": old.Channel, "ts": old.TS, "text": old.Text}
}

func (w *Workspace) resource(p *Post) answer {
	a := answer{"type": "message", "ts": p.TS, "user": p.User, "text": p.Text}
	if p.Thread != "" {
		a["thread_ts"] = p.Thread
	}
	if p.Bot {
		a["bot_id"], a["app_id"] = botID, appID
	}
	if p.Broadcast {
		a["subtype"] = "thread_broadcast"
	}
	if p.Blocks != nil {
		a["blocks"] = p.Blocks
	}
	if p.Metadata != nil {
		a["metadata"] = p.Metadata
	}
	if len(p.Files) > 0 {
		if !p.Bot {
			a["subtype"] = "file_share"
		}
		var files []answer
		for _, f := range p.Files {
			files = append(files, f.resource())
		}
		a["files"] = files
	}
	var latest string
	count := 0
	for _, q := range w.posts {
		if q.Channel == p.Channel && q.Thread == p.TS && q.Only == "" {
			latest, count = q.TS, count+1
		}
	}
	if count > 0 {
		a["thread_ts"], a["reply_count"], a["latest_reply"] = p.TS, count, latest
	}
	return a
}

func (f *File) resource() answer {
	return answer{"id": f.ID, "name": f.Name, "title": f.Title, "mimetype": f.Type, "size": len(f.Bytes), "url_private": fileHost + f.ID}
}

// fileHost is replaced by the stand-in's own address when a list or event is sent.
const fileHost = "http://FILES/files/"

func (w *Workspace) listed(f form, want func(*Post) bool, newestFirst bool) answer {
	var found []answer
	for _, p := range w.posts {
		if p.Channel == f["channel"] && p.Only == "" && (f["oldest"] == "" || p.TS >= f["oldest"]) && want(p) {
			found = append(found, w.resource(p))
		}
	}
	if newestFirst {
		slices.Reverse(found)
	}
	limit, _ := strconv.Atoi(f["limit"])
	if limit <= 0 {
		limit = 100
	}
	from, _ := strconv.Atoi(f["cursor"])
	to := min(from+limit, len(found))
	next := ""
	if to < len(found) {
		next = strconv.Itoa(to)
	}
	return answer{"messages": found[min(from, to):to], "has_more": next != "", "response_metadata": answer{"next_cursor": next}}
}

func (w *Workspace) history(f form) answer {
	if !w.inside(f["channel"]) {
		return no("channel_not_found")
	}
	return w.listed(f, func(p *Post) bool { return p.Thread == "" || p.Broadcast }, true)
}

func (w *Workspace) replies(f form) answer {
	root := w.find(f["channel"], f["ts"])
	if root == nil {
		return no("thread_not_found")
	}
	return w.listed(f, func(p *Post) bool { return p == root || p.Thread == root.TS }, false)
}

func (w *Workspace) uploadURL(f form) answer {
	if n, err := strconv.Atoi(f["length"]); err != nil || n <= 0 || f["filename"] == "" {
		return no("invalid_arguments")
	}
	file := &File{ID: w.id("F"), Name: f["filename"]}
	if w.files == nil {
		w.files = map[string]*File{}
	}
	w.files[file.ID] = file
	return answer{"upload_url": "/upload/" + file.ID, "file_id": file.ID}
}

func (w *Workspace) takeUpload(rw http.ResponseWriter, r *http.Request) {
	b, err := uploaded(r)
	w.mu.Lock()
	defer w.mu.Unlock()
	file, ok := w.files[r.PathValue("id")]
	if err != nil || !ok {
		http.Error(rw, "upload", http.StatusBadRequest)
		return
	}
	file.Bytes, file.Type = b, http.DetectContentType(b)
	_, _ = fmt.Fprintf(rw, "OK - %d", len(b))
}

// uploaded takes a plain body as well as a form, as the provider does.
func uploaded(r *http.Request) ([]byte, error) {
	const most = 20 << 20
	if kind, _, _ := mime.ParseMediaType(r.Header.Get("Content-Type")); kind != "multipart/form-data" {
		return io.ReadAll(io.LimitReader(r.Body, most))
	}
	f, _, err := r.FormFile("file")
	if err != nil {
		return nil, err
	}
	b, err := io.ReadAll(io.LimitReader(f, most))
	if e := f.Close(); err == nil {
		err = e
	}
	return b, err
}

func (w *Workspace) completeUpload(f form) answer {
	var list []struct{ ID, Title string }
	if err := json.Unmarshal([]byte(f["files"]), &list); err != nil || len(list) == 0 {
		return no("invalid_arguments")
	}
	channel := room(f["channel_id"])
	if !w.inside(channel) {
		return no("channel_not_found")
	}
	p := &Post{Channel: channel, Thread: f["thread_ts"], User: BotUser, Bot: true, Text: f["initial_comment"]}
	var out []answer
	for _, one := range list {
		file, ok := w.files[one.ID]
		if !ok || file.Bytes == nil {
			return no("file_not_found")
		}
		file.Title, file.done = one.Title, true
		p.Files = append(p.Files, file)
		out = append(out, answer{"id": file.ID, "title": file.Title})
	}
	p.TS = w.ts()
	w.posts = append(w.posts, p)
	return answer{"files": out}
}

func (w *Workspace) serveFile(rw http.ResponseWriter, r *http.Request) {
	w.mu.Lock()
	file, ok := w.files[r.PathValue("id")]
	w.mu.Unlock()
	if r.Header.Get("Authorization") != "Bearer "+w.BotToken {
		http.Redirect(rw, r, "/signin?redir="+r.URL.Path, http.StatusFound)
		return
	}
	if !ok {
		http.NotFound(rw, r)
		return
	}
	rw.Header().Set("Content-Type", file.Type)
	_, _ = rw.Write(file.Bytes)
}

// wrongBlocks names what the provider would refuse of a message's blocks, by the
// limits of its block reference.
func wrongBlocks(text string) string {
	var blocks []struct {
		Type     string
		Text     *textObject
		Fields   []textObject
		Elements []json.RawMessage
	}
	if json.Unmarshal([]byte(text), &blocks) != nil || len(blocks) > 50 {
		return "invalid_blocks"
	}
	total := 0
	for _, b := range blocks {
		limit := map[string]int{"section": 3000, "header": 150}[b.Type]
		if b.Text != nil {
			n := utf8.RuneCountInString(b.Text.Text)
			total += n
			if n == 0 || limit > 0 && n > limit {
				return "invalid_blocks"
			}
		}
		for _, f := range b.Fields {
			if n := utf8.RuneCountInString(f.Text); n == 0 || n > 2000 {
				return "invalid_blocks"
			}
		}
		if len(b.Fields) > 10 || b.Type == "section" && b.Text == nil && len(b.Fields) == 0 || b.Type == "context" && len(b.Elements) > 10 || b.Type == "actions" && len(b.Elements) > 25 {
			return "invalid_blocks"
		}
	}
	if total > 13000 {
		return "msg_blocks_too_long"
	}
	return ""
}

type textObject struct{ Type, Text string }
