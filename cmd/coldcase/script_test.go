package main

import (
	"bufio"
	"context"
	"io"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

// TestMain lets the scenes call this very program as "coldcase".
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"coldcase": func() {
			os.Exit(run(context.Background(), console{os.Stdin, os.Stdout, os.Stderr}, os.Args[1:]))
		},
	})
}

// TestScenes runs the scenes of the command line, each in a folder of its own.
func TestScenes(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script",
		Setup: func(e *testscript.Env) error {
			e.Setenv("COLDCASE_DB", e.WorkDir+"/cases.db")
			e.Setenv("HOME", e.WorkDir)
			e.Setenv("USER", "Ines")
			e.Values[running{}] = new(chatting)
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"chat": startChat, "say": say},
	})
}

// chatting is a conversation that goes on while a scene does other things.
type chatting struct {
	in      io.WriteCloser
	out     *bufio.Scanner
	program *exec.Cmd
}

type running struct{}

// startChat starts "coldcase chat" and leaves it running.
func startChat(ts *testscript.TestScript, _ bool, _ []string) {
	c := ts.Value(running{}).(*chatting)
	path, err := exec.LookPath("coldcase")
	ts.Check(err)
	c.program = exec.Command(path, "chat")
	c.program.Dir = ts.MkAbs(".")
	for _, name := range []string{"COLDCASE_DB", "COLDCASE_RULES", "HOME", "USER", "PATH"} {
		c.program.Env = append(c.program.Env, name+"="+ts.Getenv(name))
	}
	troubles, err := os.Create(ts.MkAbs("chat.err")) // a file: what is written before a reply is there with it
	ts.Check(err)
	c.program.Stderr = troubles
	c.in, err = c.program.StdinPipe()
	ts.Check(err)
	out, err := c.program.StdoutPipe()
	ts.Check(err)
	c.out = bufio.NewScanner(out)
	ts.Check(c.program.Start())
	ts.Defer(func() {
		_ = c.in.Close()
		_ = c.program.Wait()
		_ = troubles.Close()
	})
}

// say types a line into the running conversation and writes the reply to a file:
// say FILE TEXT. What went wrong meanwhile is in chat.err.
func say(ts *testscript.TestScript, _ bool, args []string) {
	c := ts.Value(running{}).(*chatting)
	_, err := io.WriteString(c.in, args[1]+"\n")
	ts.Check(err)
	reply := make(chan string)
	go func() { reply <- c.reply() }()
	select {
	case text := <-reply:
		ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(text), 0o600))
	case <-time.After(time.Minute):
		ts.Fatalf("no end of the reply to %q", args[1])
	}
}

// reply reads up to the words that one may send next, which end a reply.
func (c *chatting) reply() string {
	var reply strings.Builder
	for c.out.Scan() {
		line := c.out.Text()
		reply.WriteString(line + "\n")
		if strings.HasPrefix(line, "(") && strings.HasSuffix(line, "?)") {
			break
		}
	}
	return reply.String()
}
