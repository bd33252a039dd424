package main

import (
	"io"
	"io/fs"
	"os"
)

// disk is what changes files: the system's, and in tests one that a power cut
// ends at any call.
type disk interface {
	// temp makes a file of a new name in a folder, exclusive one of this very name.
	temp(dir, pattern string) (diskFile, error)
	exclusive(path string) (diskFile, error)
	there(path string) bool
	rename(from, to string) error
	remove(path string) error
	// sync flushes the names in a folder; not every system can.
	sync(dir string)
}

// diskFile is a file that is written.
type diskFile interface {
	io.WriteCloser
	Name() string
	Chmod(fs.FileMode) error
	Sync() error
}

// theDisk is where everything is kept. Only tests put another one here.
var theDisk disk = systemDisk{}

// systemDisk is the system's.
type systemDisk struct{}

func (systemDisk) temp(dir, pattern string) (diskFile, error) { return os.CreateTemp(dir, pattern) }

func (systemDisk) exclusive(path string) (diskFile, error) {
	return os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
}

func (systemDisk) there(path string) bool {
	_, err := os.Lstat(path)
	return err == nil || !os.IsNotExist(err)
}

func (systemDisk) rename(from, to string) error { return os.Rename(from, to) }
func (systemDisk) remove(path string) error     { return os.Remove(path) }

func (systemDisk) sync(dir string) {
	if d, err := os.Open(dir); err == nil {
		_ = d.Sync()
		_ = d.Close()
	}
}
