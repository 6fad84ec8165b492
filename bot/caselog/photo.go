package caselog

import (
	"encoding/json"
	"fmt"
)

// PhotoBody is the structured form of a photo entry.
type PhotoBody struct {
	SHA256 string `json:"sha256"` // of the picture; Reader.Media has its bytes
	Type   string `json:"type"`   // by its content: image/jpeg, image/png, image/gif, image/webp
}

// PhotoOf tells which picture an entry holds.
func PhotoOf(e Entry) (PhotoBody, bool) {
	var b PhotoBody
	ok := e.Kind == KindPhoto && json.Unmarshal(e.Body, &b) == nil && b.SHA256 != ""
	return b, ok
}

// Photos lists the photo entries of a case, in order.
func Photos(r Reader, n Number) ([]Entry, error) {
	entries, err := r.Entries(n)
	var photos []Entry
	for _, e := range entries {
		if _, ok := PhotoOf(e); ok {
			photos = append(photos, e)
		}
	}
	return photos, err
}

// PhotoAt gives the picture of one entry of a case. The bytes are reached through
// the case only, so that whoever may see one case sees no other's pictures.
func PhotoAt(r Reader, n Number, seq int) (Media, error) {
	photos, err := Photos(r, n)
	if err != nil {
		return Media{}, err
	}
	for _, e := range photos {
		if b, _ := PhotoOf(e); e.Seq == seq {
			return r.Media(b.SHA256)
		}
	}
	return Media{}, fmt.Errorf("entry %d of case %s: %w", seq, n, ErrNoMedia)
}
