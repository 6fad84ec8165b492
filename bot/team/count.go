package team

import (
	"errors"

	"github.com/prometheus/client_golang/prometheus"
)

// Counters count what came and went; made once a process.
type Counters struct {
	Inbound *prometheus.CounterVec // by way (http, socket) and result
	Sent    *prometheus.CounterVec // by kind and result
	Answer  prometheus.Histogram
	Sockets prometheus.Gauge
}

// NewCounters registers the team chat's counters.
func NewCounters(r prometheus.Registerer) (*Counters, error) {
	c := &Counters{
		Inbound: prometheus.NewCounterVec(prometheus.CounterOpts{Name: "coldcase_team_inbound_total", Help: "Events of the team chat by way and result."}, []string{"way", "result"}),
		Sent:    prometheus.NewCounterVec(prometheus.CounterOpts{Name: "coldcase_team_rows_total", Help: "Tries at rows of the team chat by kind and result."}, []string{"kind", "result"}),
		Answer: prometheus.NewHistogram(prometheus.HistogramOpts{
			Name: "coldcase_team_ack_seconds", Help: "Time to put an event on record and acknowledge it.",
			Buckets: []float64{0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.5, 1, 2, 3},
		}),
		Sockets: prometheus.NewGauge(prometheus.GaugeOpts{Name: "coldcase_team_sockets", Help: "Sockets to the team chat that are open."}),
	}
	for _, one := range []prometheus.Collector{c.Inbound, c.Sent, c.Answer, c.Sockets} {
		if err := r.Register(one); err != nil {
			return nil, err
		}
	}
	return c, nil
}

func (c *Counters) sent(kind string, err error) {
	result := "done"
	var later *Later
	var gone *GivenUp
	switch {
	case errors.As(err, &gone):
		result = "dead"
	case errors.As(err, &later):
		result = "later"
	case err != nil:
		result = "again"
	}
	c.Sent.WithLabelValues(kind, result).Inc()
}
