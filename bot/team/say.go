package team

import (
	"coldcase/bot/caselog"
	"coldcase/bot/reply"
)

// speech is the payload of what is said outside the lines of a case.
type speech struct {
	Thread string         `json:"thread,omitempty"` // ts of the root that it stands under
	User   string         `json:"user,omitempty"`   // for this person's eyes alone
	Case   caselog.Number `json:"case,omitempty"`   // it stands in this case's thread
	Alarm  bool           `json:"alarm,omitempty"`  // shown in the channel, too
	Lines  []reply.Line   `json:"lines"`
	Typed  string         `json:"typed,omitempty"` // text of others, shown as typed
	Button []button       `json:"buttons,omitempty"`
	Menu   *menu          `json:"menu,omitempty"`
}

// button is one that can be pressed under a speech.
type button struct {
	Action string `json:"action"`
	Text   string `json:"text"`
	Value  string `json:"value"`
	Main   bool   `json:"main,omitempty"`
}

// menu is a choice under a speech.
type menu struct {
	Action  string   `json:"action"`
	Prompt  string   `json:"prompt"`
	Choices []choice `json:"choices"`
}

type choice struct{ Text, Value string }
