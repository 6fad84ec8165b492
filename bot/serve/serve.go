// Package serve puts the outsides on one HTTP server with health, metrics and a
// stop that loses nothing.
package serve

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"sync"
	"sync/atomic"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/promhttp"

	"coldcase/bot/team"
)

// Server is everything that runs. Plug outsides in before Run.
type Server struct {
	Log     *slog.Logger
	Metrics *prometheus.Registry
	Lease   time.Duration // how long a killed process keeps outgoing rows from the others; 0: the outbox's own

	mux      *http.ServeMux
	listener net.Listener
	ready    map[string]func() error
	minor    map[string]func() error
	works    []func(context.Context)
	carriers carriers
	team     *team.Team     // nil without team chat
	pause    *time.Duration // between posts of the team chat, when not the usual one
	stopping atomic.Bool
}

// New listens at an address, so that its port is known before Run.
func New(listen string, log *slog.Logger) (*Server, error) {
	l, err := net.Listen("tcp", listen)
	if err != nil {
		return nil, fmt.Errorf("listen: %w", err)
	}
	s := &Server{Log: log, Metrics: prometheus.NewRegistry(), mux: http.NewServeMux(), listener: l, ready: map[string]func() error{}, minor: map[string]func() error{}, carriers: carriers{}}
	s.mux.HandleFunc("GET /healthz", s.healthz)
	s.mux.HandleFunc("GET /readyz", s.readyz)
	s.mux.Handle("GET /metrics", promhttp.HandlerFor(s.Metrics, promhttp.HandlerOpts{}))
	return s, nil
}

// Addr is where it listens.
func (s *Server) Addr() string { return s.listener.Addr().String() }

// Route lets an outside hang its paths on the server.
func (s *Server) Route(hang func(*http.ServeMux)) { hang(s.mux) }

// Ready adds a check to /readyz. Its error is shown there: it holds no secret.
func (s *Server) Ready(name string, check func() error) { s.ready[name] = check }

// Minor adds a check whose trouble is shown in /readyz and does not make it red:
// what was in force before still is.
func (s *Server) Minor(name string, check func() error) { s.minor[name] = check }

// Work adds what runs beside the server. It is told to stop by its context when
// no request is under way any more, and Run waits for it.
func (s *Server) Work(run func(context.Context)) { s.works = append(s.works, run) }

func (s *Server) healthz(w http.ResponseWriter, _ *http.Request) {
	_, _ = fmt.Fprintln(w, "ok")
}

func (s *Server) readyz(w http.ResponseWriter, _ *http.Request) {
	var bad error
	if s.stopping.Load() {
		bad = errors.New("stopping")
	}
	for name, check := range s.ready {
		if err := check(); err != nil {
			bad = errors.Join(bad, fmt.Errorf("%s: %w", name, err))
		}
	}
	if bad != nil {
		http.Error(w, bad.Error(), http.StatusServiceUnavailable)
		return
	}
	_, _ = fmt.Fprintln(w, "ready")
	for name, check := range s.minor {
		if err := check(); err != nil {
			_, _ = fmt.Fprintf(w, "but %s: %v\n", name, err)
		}
	}
}

// Limits of one request: nobody holds a connection by being slow.
const (
	readWithin  = 10 * time.Second
	writeWithin = 30 * time.Second
	idleWithin  = 2 * time.Minute
	maxHeader   = 64 << 10
	stopWithin  = 15 * time.Second
)

// Run serves until the context ends. Then: not ready, no new requests, the works
// finish.
func (s *Server) Run(ctx context.Context) error {
	server := &http.Server{
		Handler: s.mux, ReadHeaderTimeout: readWithin, ReadTimeout: readWithin, WriteTimeout: writeWithin, IdleTimeout: idleWithin,
		MaxHeaderBytes: maxHeader, ErrorLog: slog.NewLogLogger(s.Log.Handler(), slog.LevelWarn),
	}
	working, stopWork := context.WithCancel(context.WithoutCancel(ctx))
	defer stopWork()
	var works sync.WaitGroup
	for _, run := range s.works {
		works.Go(func() { run(working) })
	}
	served := make(chan error, 1)
	go func() { served <- server.Serve(s.listener) }()
	var failed error
	select {
	case failed = <-served:
	case <-ctx.Done():
	}
	s.stopping.Store(true)
	quit, done := context.WithTimeout(context.WithoutCancel(ctx), stopWithin)
	defer done()
	err := server.Shutdown(quit)
	stopWork()
	works.Wait()
	return errors.Join(failed, err)
}
