// Package pgtest gives tests a real PostgreSQL of their own: one server a test
// binary, one database a test. COLDCASE_TEST_PG (a postgres:// URL) takes another
// server instead.
package pgtest

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"runtime"
	"sort"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	_ "github.com/jackc/pgx/v5/stdlib" // registers the driver "pgx"
	"github.com/stretchr/testify/require"
)

// Server is a running PostgreSQL.
type Server struct {
	url  string // of its database postgres
	dir  string
	stop func() error
	made atomic.Int64
}

// ErrNoBinaries: PostgreSQL isn't installed.
var ErrNoBinaries = errors.New("no initdb under /usr/lib/postgresql and no COLDCASE_TEST_PG")

// shared is the server of the test binary; it starts with the first test that needs it.
var shared func() (*Server, error)

// Suite is what Main runs: testing.M, or what another package puts around it.
type Suite interface{ Run() int }

// Main runs the tests of a package with one server and stops it. Without
// PostgreSQL the tests that need it are skipped, but not under CI.
func Main(m Suite) {
	code := func() int {
		var running *Server
		shared = sync.OnceValues(func() (s *Server, err error) {
			running, err = Start(false)
			return running, err
		})
		defer func() {
			if running != nil {
				_ = running.Stop()
			}
		}()
		return m.Run()
	}()
	os.Exit(code)
}

// URL is a new, empty database of the server that Main looks after.
func URL(t testing.TB) string {
	t.Helper()
	s, err := shared()
	if errors.Is(err, ErrNoBinaries) && os.Getenv("CI") == "" {
		t.Skip(err)
	}
	require.NoError(t, err)
	return s.Database(t)
}

// Database makes a new, empty database, dropped when the test ends.
func (s *Server) Database(t testing.TB) string {
	t.Helper()
	name := fmt.Sprintf("t_%d_%d", os.Getpid(), s.made.Add(1))
	s.admin(t, "create database "+name)
	t.Cleanup(func() { s.admin(t, "drop database "+name+" with (force)") })
	u, err := url.Parse(s.url)
	require.NoError(t, err)
	u.Path = "/" + name
	return u.String()
}

// Away puts a database out of reach, as when its server is gone, until back is called.
func (s *Server) Away(t testing.TB, at string) (back func()) {
	t.Helper()
	u, err := url.Parse(at)
	require.NoError(t, err)
	name := strings.TrimPrefix(u.Path, "/")
	s.admin(t, "alter database "+name+" allow_connections false")
	s.admin(t, "select pg_terminate_backend(pid) from pg_stat_activity where datname='"+name+"'")
	return sync.OnceFunc(func() { s.admin(t, "alter database "+name+" allow_connections true") })
}

// Away is that of the server that Main looks after.
func Away(t testing.TB, at string) (back func()) {
	t.Helper()
	s, err := shared()
	require.NoError(t, err)
	return s.Away(t, at)
}

func (s *Server) admin(t testing.TB, statement string) {
	t.Helper()
	db, err := sql.Open("pgx", s.url)
	require.NoError(t, err)
	defer func() { require.NoError(t, db.Close()) }()
	_, err = db.ExecContext(context.Background(), statement)
	require.NoError(t, err, statement)
}

// Start starts a server. durable: every commit is on the disk, as in life; otherwise quicker.
func Start(durable bool) (*Server, error) {
	if u := os.Getenv("COLDCASE_TEST_PG"); u != "" {
		return &Server{url: u, stop: func() error { return nil }}, nil
	}
	bin, err := newest()
	if err != nil {
		return nil, err
	}
	dir, err := os.MkdirTemp("/tmp", "pg") // a socket's path has at most 107 bytes
	if err != nil {
		return nil, err
	}
	s := &Server{dir: dir}
	if err := s.run(bin, durable); err != nil {
		return nil, errors.Join(err, os.RemoveAll(dir))
	}
	return s, nil
}

// Stop ends the server and removes its files.
func (s *Server) Stop() error {
	err := s.stop()
	if s.dir != "" {
		err = errors.Join(err, os.RemoveAll(s.dir))
	}
	return err
}

// newest is the folder of the newest installed initdb.
func newest() (string, error) {
	found, err := filepath.Glob("/usr/lib/postgresql/*/bin/initdb")
	if err != nil || len(found) == 0 {
		return "", ErrNoBinaries
	}
	version := func(path string) int {
		n, _ := strconv.Atoi(filepath.Base(filepath.Dir(filepath.Dir(path))))
		return n
	}
	sort.Slice(found, func(i, j int) bool { return version(found[i]) > version(found[j]) })
	return filepath.Dir(found[0]), nil
}

func (s *Server) run(bin string, durable bool) error {
	attr, name, err := s.account()
	if err != nil {
		return err
	}
	data := filepath.Join(s.dir, "d")
	init := exec.Command(filepath.Join(bin, "initdb"), "-D", data, "-U", "postgres",
		"-A", "trust", "-E", "UTF8", "--locale=C.UTF-8", "--no-sync")
	init.SysProcAttr, init.Dir = attr, s.dir
	if out, err := init.CombinedOutput(); err != nil {
		return fmt.Errorf("initdb as %s: %w: %s", name, err, out)
	}
	// It listens in a folder of its own alone: a free port may be taken by another
	// test before the server has it.
	args := []string{"-D", data, "-k", s.dir, "-c", "listen_addresses=", "-c", "max_connections=200"}
	if !durable {
		args = append(args, "-c", "fsync=off")
	}
	cmd := exec.Command(filepath.Join(bin, "postgres"), args...)
	cmd.SysProcAttr, cmd.Dir = attr, s.dir
	if s.stop, err = startTied(cmd); err != nil {
		return err
	}
	s.url = "postgres://postgres@/postgres?host=" + s.dir + "&sslmode=disable"
	if err := s.answers(); err != nil {
		return errors.Join(err, s.stop())
	}
	return nil
}

// account is postgres when we are root: the server refuses to run as root.
func (s *Server) account() (*syscall.SysProcAttr, string, error) {
	attr := &syscall.SysProcAttr{Pdeathsig: syscall.SIGQUIT}
	if os.Getuid() != 0 {
		return attr, "this user", nil
	}
	u, err := user.Lookup("postgres")
	if err != nil {
		return nil, "", err
	}
	uid, _ := strconv.Atoi(u.Uid)
	gid, _ := strconv.Atoi(u.Gid)
	attr.Credential = &syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}
	return attr, u.Username, os.Chown(s.dir, uid, gid)
}

// startTied starts a process that dies with us: the parent's death signal follows
// the thread that started it, so that thread waits for it.
func startTied(cmd *exec.Cmd) (stop func() error, err error) {
	started, ended := make(chan error), make(chan struct{})
	var log strings.Builder
	cmd.Stderr = &log
	go func() {
		runtime.LockOSThread()
		defer runtime.UnlockOSThread()
		defer close(ended)
		err := cmd.Start()
		started <- err
		if err == nil {
			_ = cmd.Wait() // how a stopped server ends says nothing
		}
	}()
	if err := <-started; err != nil {
		return nil, err
	}
	return func() error {
		if err := cmd.Process.Signal(syscall.SIGINT); err != nil && !errors.Is(err, os.ErrProcessDone) {
			return err
		}
		<-ended
		return nil
	}, nil
}

func (s *Server) answers() error {
	db, err := sql.Open("pgx", s.url)
	if err != nil {
		return err
	}
	defer func() { _ = db.Close() }()
	for deadline := time.Now().Add(30 * time.Second); ; time.Sleep(20 * time.Millisecond) {
		if err = db.PingContext(context.Background()); err == nil || time.Now().After(deadline) {
			return err
		}
	}
}
