package main

import (
	"fmt"
	"io"
	"io/fs"
	"os"
	"syscall"

	"fishplate/diagnose/outside"
)

// readOutside reads a file that anyone may have written. What is too large for
// its kind is refused by its true size, before it is read; what grows while it
// is read, or has no size (a pipe, a device), is read no further than the limit. A
// pipe that nobody writes into is not waited for.
func readOutside(path string, l outside.Limits) ([]byte, error) {
	flags := os.O_RDONLY
	info, err := os.Stat(path)
	pipe := err == nil && info.Mode()&fs.ModeNamedPipe != 0
	if pipe {
		flags |= syscall.O_NONBLOCK
	}
	f, err := os.OpenFile(path, flags, 0)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := readLimited(f, l)
	if err == nil && pipe && len(data) == 0 {
		err = fmt.Errorf("%s is a pipe, and nothing comes out of it; write a file instead", path)
	}
	return data, err
}

func readLimited(f fs.File, l outside.Limits) ([]byte, error) {
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	if info.IsDir() {
		return nil, fmt.Errorf("%s is a folder, not %s", info.Name(), l.What)
	}
	if err := l.Size(info.Size()); err != nil {
		return nil, err
	}
	return readUpTo(f, l)
}

// readUpTo reads what has no size of its own.
func readUpTo(r io.Reader, l outside.Limits) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, int64(l.Bytes)+1))
	if err == nil && len(data) > l.Bytes {
		err = fmt.Errorf("it has more than %d bytes, the limit for %s", l.Bytes, l.What)
	}
	return data, err
}

// readIn reads a file of a folder, which may be one that is built in.
func readIn(dir fs.FS, name string, l outside.Limits) ([]byte, error) {
	if info, err := fs.Stat(dir, name); err == nil && info.Mode()&fs.ModeNamedPipe != 0 {
		return nil, fmt.Errorf("%s is a pipe, not %s; write a file instead", name, l.What)
	}
	f, err := dir.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return readLimited(f, l)
}
