package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// leftover ends the names of temporary files, so that those of a run that was
// cut off are known as ours.
const leftover = ".fishplate.tmp"

// writeFile puts a file in place of the one before: a temporary file in the
// same folder, flushed to the disk, then renamed, then the folder flushed, so
// that a crash leaves the one or the other. A link is followed to its file, and
// a file keeps its mode.
func writeFile(path string, data []byte) error {
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	mode := fs.FileMode(0o644)
	if info, err := os.Stat(path); err == nil {
		mode = info.Mode().Perm()
	}
	dir := filepath.Dir(path)
	if err := makeFolder(dir); err != nil {
		return err
	}
	f, err := os.CreateTemp(dir, "."+filepath.Base(path)+".*"+leftover)
	if err != nil {
		return noFolder(dir, err)
	}
	_, err = f.Write(data)
	err = errors.Join(err, f.Chmod(mode), f.Sync(), f.Close())
	if err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		return errors.Join(err, os.Remove(f.Name()))
	}
	syncFolder(dir)
	return nil
}

// syncFolder flushes a folder to the disk; not every system can.
func syncFolder(dir string) {
	if d, err := os.Open(dir); err == nil {
		_ = d.Sync()
		_ = d.Close()
	}
}

// putAside renames a file to a name of its own beside it, .old or .old2 and so
// on: what was put aside before stays. It gives the name, empty where there was
// no file.
func putAside(path string) (string, error) {
	if _, err := os.Lstat(path); errors.Is(err, fs.ErrNotExist) {
		return "", nil
	}
	for n := 1; n < 10_000; n++ {
		to := path + ".old"
		if n > 1 {
			to = fmt.Sprintf("%s.old%d", path, n)
		}
		if _, err := os.Lstat(to); err == nil {
			continue
		}
		if err := os.Rename(path, to); err != nil {
			return "", err
		}
		syncFolder(filepath.Dir(path))
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

// noFolder says that a folder cannot be written to, without the names of
// temporary files.
func noFolder(dir string, err error) error {
	var at *fs.PathError
	if errors.As(err, &at) {
		err = at.Err
	}
	return fmt.Errorf("the folder %s cannot be written to: %w", dir, err)
}
