package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"
)

// leftover ends the names of temporary files, so that those of a run that was
// cut off are known as ours.
const leftover = ".fishplate.tmp"

// real is the file that a path leads to, links followed: what is read, written,
// locked, put aside and deleted is always that one. It need not be there.
func real(path string) string {
	const most = 40 // links to links, as systems have it
	for range most {
		if found, err := filepath.EvalSymlinks(path); err == nil {
			return found
		}
		to, err := os.Readlink(path)
		if err != nil {
			break
		}
		if !filepath.IsAbs(to) {
			to = filepath.Join(filepath.Dir(path), to)
		}
		path = to
	}
	if dir, err := filepath.EvalSymlinks(filepath.Dir(path)); err == nil {
		return filepath.Join(dir, filepath.Base(path))
	}
	return path
}

// writeFile puts a file in place of the one before: a temporary file in the
// same folder, flushed to the disk, then renamed, then the folder flushed, so
// that a crash leaves the one or the other. A file keeps its mode.
func writeFile(path string, data []byte) error {
	path = real(path)
	mode := fs.FileMode(0o644)
	if info, err := os.Stat(path); err == nil {
		if !info.Mode().IsRegular() && !info.IsDir() { // a device or a pipe takes it, and stays what it is
			return os.WriteFile(path, data, 0)
		}
		mode = info.Mode().Perm()
	}
	dir := filepath.Dir(path)
	if err := makeFolder(dir); err != nil {
		return err
	}
	if _, done := swept.LoadOrStore(dir, true); !done {
		sweep(dir, time.Now())
	}
	f, err := theDisk.temp(dir, "."+filepath.Base(path)+".*"+leftover)
	if err != nil {
		return noFolder(dir, err)
	}
	_, err = f.Write(data)
	err = errors.Join(err, f.Chmod(mode), f.Sync(), f.Close())
	if err == nil {
		err = theDisk.rename(f.Name(), path)
	}
	if err != nil {
		_ = theDisk.remove(f.Name()) // else the next start does
		return fmt.Errorf("%s could not be written: %w", path, bare(err))
	}
	theDisk.sync(dir)
	return nil
}

// swept are the folders that were swept since the program began.
var swept sync.Map

// deleteFile takes a file away; it need not be there.
func deleteFile(path string) error {
	path = real(path)
	if err := theDisk.remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	theDisk.sync(filepath.Dir(path))
	return nil
}

// putAside renames a file to a name of its own beside it, .old or .old2 and so
// on: what was put aside before stays. The name is taken by making it, so that
// no other program can take the same. It gives the name, empty where there was
// no file.
func putAside(path string) (string, error) {
	path = real(path)
	for n := 1; n < 10_000; n++ {
		if !theDisk.there(path) {
			return "", nil
		}
		to := path + ".old"
		if n > 1 {
			to = fmt.Sprintf("%s.old%d", path, n)
		}
		f, err := theDisk.exclusive(to)
		if errors.Is(err, fs.ErrExist) {
			continue
		}
		if err == nil {
			err = f.Close()
		}
		if err != nil {
			return "", noFolder(filepath.Dir(path), err)
		}
		if err := theDisk.rename(path, to); err != nil {
			_ = theDisk.remove(to) // the empty one
			if errors.Is(err, fs.ErrNotExist) {
				return "", nil // another has put it aside
			}
			return "", err
		}
		theDisk.sync(filepath.Dir(path))
		return to, nil
	}
	return "", fmt.Errorf("there are too many old files beside %s: move some away", path)
}

// sweep takes away temporary files of ours that a run which was cut off has
// left in a folder. One that is minutes old may belong to a run that goes on.
func sweep(dir string, now time.Time) {
	list, _ := os.ReadDir(dir) // where it cannot be read there is nothing to do
	for _, f := range list {
		if !strings.HasPrefix(f.Name(), ".") || !strings.HasSuffix(f.Name(), leftover) || !f.Type().IsRegular() {
			continue
		}
		if info, err := f.Info(); err == nil && now.Sub(info.ModTime()) > 10*time.Minute {
			_ = os.Remove(filepath.Join(dir, f.Name())) // next time, then
		}
	}
}

func makeFolder(dir string) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return noFolder(dir, err)
	}
	return nil
}

// noFolder says that a folder cannot be written to.
func noFolder(dir string, err error) error {
	return fmt.Errorf("the folder %s cannot be written to: %w", dir, bare(err))
}

// bare is an error without the name of a temporary file.
func bare(err error) error {
	var at *fs.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &at):
		return at.Err
	case errors.As(err, &link):
		return link.Err
	}
	return err
}
