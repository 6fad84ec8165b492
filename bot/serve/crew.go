package serve

import (
	"errors"
	"fmt"

	"github.com/prometheus/client_golang/prometheus"

	"coldcase/bot/crew"
)

// Crew shows in /readyz and in the metrics when the crew file has a mistake and the
// last good one is in force. What the mistake is stands in the log: it may name people.
func (s *Server) Crew(people *crew.File) error {
	s.Minor("crew file", func() error {
		if _, err := people.Now(); err != nil {
			s.Log.Error("crew file not read; the last good one stays in force", "err", err)
			return errors.New("not read, the last good one stays in force; the log says why")
		}
		return nil
	})
	broken := prometheus.NewGaugeFunc(prometheus.GaugeOpts{
		Name: "coldcase_crew_file_broken", Help: "1 while the crew file can't be read and the last good one is in force.",
	}, func() float64 {
		if _, err := people.Now(); err != nil {
			return 1
		}
		return 0
	})
	if err := s.Metrics.Register(broken); err != nil {
		return fmt.Errorf("metrics: %w", err)
	}
	return nil
}
