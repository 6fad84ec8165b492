package crew

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync"

	"golang.org/x/sys/unix"
	"gopkg.in/yaml.v3"
)

// File is a crew file on disk. An empty path is a crew of nobody.
type File struct {
	path string
	mu   sync.Mutex
	crew Crew
	read []byte
}

// Open reads the file for the first time; a mistake is an error.
func Open(path string) (*File, error) {
	f := &File{path: path}
	_, err := f.Now()
	return f, err
}

// Now is the crew as the file says now. A file that can't be read leaves the last
// good crew in force, together with the error.
func (f *File) Now() (Crew, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.now()
}

func (f *File) now() (Crew, error) {
	if f.path == "" {
		return f.crew, nil
	}
	text, err := os.ReadFile(f.path)
	if err != nil {
		return f.crew, fmt.Errorf("crew file: %w", err)
	}
	if f.read != nil && bytes.Equal(text, f.read) {
		return f.crew, nil
	}
	next, err := Read(bytes.NewReader(text))
	if err != nil {
		return f.crew, err
	}
	f.crew, f.read = next, text
	return next, nil
}

// ErrNoFile: there is no crew file to write to.
var ErrNoFile = errors.New("no crew file is set (COLDCASE_CREW)")

// ListedError: a new person's name, phone or chat id is somebody's already, or is
// not written as it has to be.
type ListedError struct{ Err error }

func (e *ListedError) Error() string { return "person not added: " + e.Err.Error() }
func (e *ListedError) Unwrap() error { return e.Err }

// Add puts a person at the end of the file, in force at once; what else stands in
// it, remarks included, stays. The file is replaced whole or not at all. A file
// with a mistake is not written to.
func (f *File) Add(p Person) error {
	if f.path == "" {
		return ErrNoFile
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	place, err := filepath.EvalSymlinks(f.path)
	if err != nil {
		return fmt.Errorf("crew file: %w", err)
	}
	return alone(filepath.Dir(place), func() error { return f.add(place, p) })
}

func (f *File) add(place string, p Person) error {
	if _, err := f.now(); err != nil {
		return err
	}
	text, err := with(f.read, p)
	if err != nil {
		return err
	}
	next, err := Read(bytes.NewReader(text))
	if err != nil {
		return &ListedError{Err: err}
	}
	if err := replace(place, text); err != nil {
		return fmt.Errorf("crew file: %w", err)
	}
	f.crew, f.read = next, text
	return nil
}

// with is the text of a crew file with one more person on its list.
func with(text []byte, p Person) ([]byte, error) {
	if p.Role == "" {
		p.Role = Tech
	}
	var one yaml.Node
	if err := one.Encode(p); err != nil {
		return nil, fmt.Errorf("crew file: %w", err)
	}
	one.Style = yaml.FlowStyle
	var whole yaml.Node
	if err := yaml.Unmarshal(text, &whole); err != nil {
		return nil, fmt.Errorf("crew file: %w", err)
	}
	people := listOf(&whole)
	people.Content = append(people.Content, &one)
	var out bytes.Buffer
	e := yaml.NewEncoder(&out)
	e.SetIndent(2)
	err := errors.Join(e.Encode(&whole), e.Close())
	return out.Bytes(), err
}

// listOf finds the list of people in a file, or puts an empty one there.
func listOf(whole *yaml.Node) *yaml.Node {
	if whole.Kind == 0 { // an empty file
		*whole = yaml.Node{Kind: yaml.DocumentNode, Content: []*yaml.Node{{Kind: yaml.MappingNode, Tag: "!!map"}}}
	}
	top := whole.Content[0]
	for i := 0; i+1 < len(top.Content); i += 2 {
		if list := top.Content[i+1]; top.Content[i].Value == "people" {
			if list.Kind != yaml.SequenceNode { // people: and nothing behind it
				*list = yaml.Node{Kind: yaml.SequenceNode, Tag: "!!seq"}
			}
			list.Style = 0
			return list
		}
	}
	list := &yaml.Node{Kind: yaml.SequenceNode, Tag: "!!seq"}
	top.Content = append(top.Content, &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: "people"}, list)
	return list
}

// alone keeps other processes that add to a file of the folder waiting.
func alone(folder string, work func() error) error {
	d, err := os.Open(folder)
	if err != nil {
		return fmt.Errorf("crew file: %w", err)
	}
	defer func() { _ = d.Close() }() // closing unlocks
	if err := unix.Flock(int(d.Fd()), unix.LOCK_EX); err != nil {
		return fmt.Errorf("crew file: %w", err)
	}
	return work()
}

// replace puts a text in a file's place, on the disk before it gets its name.
func replace(path string, text []byte) error {
	old, err := os.Stat(path)
	if err != nil {
		return err
	}
	part, err := os.CreateTemp(filepath.Dir(path), ".crew-*")
	if err != nil {
		return err
	}
	_, err = part.Write(text)
	err = errors.Join(err, part.Chmod(old.Mode().Perm()), part.Sync(), part.Close())
	if err == nil {
		err = os.Rename(part.Name(), path)
	}
	if err != nil {
		return errors.Join(err, os.Remove(part.Name()))
	}
	return nil
}
