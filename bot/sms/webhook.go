package sms

import (
	"context"
	"errors"
	"io"
	"log/slog"
	"net/http"
	"runtime/debug"
	"time"

	"github.com/prometheus/client_golang/prometheus"
)

// Webhook takes the provider's calls. It answers only after Receive has put the
// message on disk, and never in the answer itself: replies go by REST.
type Webhook struct {
	Account Account
	// Receive records a text once; seen tells that it was there before.
	Receive func(ctx context.Context, t Text) (seen bool, err error)
	// Report records a status report once.
	Report func(ctx context.Context, s Status) (seen bool, err error)
	Now    func() time.Time
	Log    *slog.Logger
	Count  *Counters
	// Patience is how long a busy database may take; 0 is answerWithin.
	Patience time.Duration
}

// answerWithin leaves room in the provider's 15 s for all its tries together.
const answerWithin = 4 * time.Second

// Counters count what came; made once a process.
type Counters struct {
	Inbound *prometheus.CounterVec // by result: taken, replayed, forged, oversized, …
	Status  *prometheus.CounterVec
	Sent    *prometheus.CounterVec // by result: sent, later, dead, …
	Answer  prometheus.Histogram
}

// NewCounters registers the line's counters.
func NewCounters(r prometheus.Registerer) (*Counters, error) {
	vec := func(name, help string) *prometheus.CounterVec {
		return prometheus.NewCounterVec(prometheus.CounterOpts{Name: name, Help: help}, []string{"result"})
	}
	c := &Counters{
		Inbound: vec("coldcase_sms_inbound_total", "Inbound webhook requests by result."),
		Status:  vec("coldcase_sms_status_total", "Status webhook requests by result."),
		Sent:    vec("coldcase_sms_sent_total", "Tries to send by result."),
		Answer: prometheus.NewHistogram(prometheus.HistogramOpts{
			Name: "coldcase_sms_answer_seconds", Help: "Time to answer an inbound webhook.",
			Buckets: []float64{0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.5, 1, 5, 15},
		}),
	}
	for _, one := range []prometheus.Collector{c.Inbound, c.Status, c.Sent, c.Answer} {
		if err := r.Register(one); err != nil {
			return nil, err
		}
	}
	return c, nil
}

// Routes hangs the webhooks on a mux.
func (h *Webhook) Routes(mux *http.ServeMux) {
	mux.HandleFunc("POST /sms/inbound", h.inbound)
	mux.HandleFunc("POST /sms/status", h.status)
}

func (h *Webhook) inbound(w http.ResponseWriter, r *http.Request) {
	from := time.Now()
	h.answer(w, r, h.Count.Inbound, func(ctx context.Context, f form) (bool, error) {
		t, err := h.Account.text(f, h.Now())
		if err != nil {
			return false, err
		}
		return h.Receive(ctx, t)
	})
	h.Count.Answer.Observe(time.Since(from).Seconds())
}

func (h *Webhook) status(w http.ResponseWriter, r *http.Request) {
	h.answer(w, r, h.Count.Status, func(ctx context.Context, f form) (bool, error) {
		s, err := h.Account.status(f)
		if err != nil {
			return false, err
		}
		return h.Report(ctx, s)
	})
}

// answer takes one request and says how it went in the status alone.
func (h *Webhook) answer(w http.ResponseWriter, r *http.Request, count *prometheus.CounterVec, take func(context.Context, form) (bool, error)) {
	f, err := h.Account.signedForm(w, r)
	seen := false
	if err == nil {
		seen, err = h.inTime(r.Context(), f, take)
	}
	var no *Refusal
	switch {
	case errors.As(err, &no):
		count.WithLabelValues(no.Kind).Inc()
		h.Log.Warn("webhook refused", "path", r.URL.Path, "kind", no.Kind, "why", no.Why)
		http.Error(w, http.StatusText(no.Status), no.Status)
	case err != nil:
		count.WithLabelValues("error").Inc()
		h.Log.Error("webhook not recorded", "path", r.URL.Path, "message", f["MessageSid"], "err", err)
		http.Error(w, http.StatusText(http.StatusServiceUnavailable), http.StatusServiceUnavailable)
	default:
		count.WithLabelValues(map[bool]string{true: "replayed", false: "taken"}[seen]).Inc()
		w.Header().Set("Content-Type", "text/xml; charset=utf-8")
		_, _ = io.WriteString(w, `<?xml version="1.0" encoding="UTF-8"?><Response/>`)
	}
}

var errBroke = errors.New("our end broke; the log has the rest")

var errBusy = errors.New("the database is busy; the message comes again or is caught up")

// inTime gives up waiting when the provider soon would. What still gets recorded
// after that is met again under the same id, and changes nothing then.
func (h *Webhook) inTime(ctx context.Context, f form, take func(context.Context, form) (bool, error)) (bool, error) {
	patience := h.Patience
	if patience == 0 {
		patience = answerWithin
	}
	ctx, stop := context.WithTimeout(context.WithoutCancel(ctx), patience)
	type result struct {
		seen bool
		err  error
	}
	done := make(chan result, 1)
	go func() {
		defer stop()
		got := result{err: errBroke} // stands when take panics
		defer func() {
			if p := recover(); p != nil {
				h.Log.Error("panic in a webhook", "message", f["MessageSid"], "panic", p, "stack", string(debug.Stack()))
			}
			done <- got
		}()
		got.seen, got.err = take(ctx, f)
	}()
	select {
	case got := <-done:
		return got.seen, got.err
	case <-ctx.Done():
	}
	select { // both were ready
	case got := <-done:
		return got.seen, got.err
	default:
		return false, errBusy
	}
}
