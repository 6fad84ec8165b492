package rulebook

import (
	"bytes"
	"io/fs"
	"time"
)

// folder is a folder with one file in it, in memory.
type folder struct{ sheet Sheet }

// Open implements fs.FS.
func (f folder) Open(name string) (fs.File, error) {
	if name != f.sheet.Name {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	return &opened{Reader: bytes.NewReader(f.sheet.Text), sheet: f.sheet}, nil
}

// opened is the file while it is read.
type opened struct {
	*bytes.Reader
	sheet Sheet
}

// Close implements fs.File.
func (o *opened) Close() error { return nil }

// Stat implements fs.File.
func (o *opened) Stat() (fs.FileInfo, error) { return info{o.sheet}, nil }

// info is what a sheet is as a file.
type info struct{ sheet Sheet }

// Name implements fs.FileInfo.
func (i info) Name() string { return i.sheet.Name }

// Size implements fs.FileInfo.
func (i info) Size() int64 { return int64(len(i.sheet.Text)) }

// Mode implements fs.FileInfo.
func (i info) Mode() fs.FileMode { return 0o444 }

// ModTime implements fs.FileInfo.
func (i info) ModTime() time.Time { return time.Time{} }

// IsDir implements fs.FileInfo.
func (i info) IsDir() bool { return false }

// Sys implements fs.FileInfo.
func (i info) Sys() any { return nil }
