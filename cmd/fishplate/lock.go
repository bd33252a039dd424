package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"time"

	"github.com/gofrs/flock"
)

// lock keeps a second fishplate away from a file while it is held: a hidden file
// beside it that the system holds locked, and lets go of when the program ends,
// however it ends. It binds those who ask for it alone.
type lock struct{ f *flock.Flock }

// lockPatience is how long a file that is only written to is waited for.
const lockPatience = 20 * time.Second

// errBusy says that another fishplate holds a file.
type errBusy struct{ what, path string }

func (e *errBusy) Error() string {
	return fmt.Sprintf("the %s in %s is open in another fishplate: go on there, or end that one first", e.what, e.path)
}

func lockPath(path string) string {
	path = real(path)
	return filepath.Join(filepath.Dir(path), "."+filepath.Base(path)+".lock")
}

// tryLock takes the lock of a file, of which what says what it is. A disk that
// knows no locks, or takes no files, gives none and no error: writing will say.
// The folder must be there.
func tryLock(what, path string) (*lock, error) {
	for range 100 {
		f := flock.New(lockPath(path), flock.SetPermissions(0o666)) // a folder may belong to many
		got, err := f.TryLock()
		switch {
		case err != nil:
			return &lock{}, nil
		case !got:
			return nil, &errBusy{what, path}
		case current(f):
			return &lock{f}, nil
		}
		_ = f.Unlock() // it was taken away in between: another lies there, or none
	}
	return nil, &errBusy{what, path}
}

// waitLock takes the lock of a file, and waits where another holds it.
func waitLock(what, path string) (*lock, error) {
	ctx, stop := context.WithTimeout(context.Background(), lockPatience)
	defer stop()
	for {
		l, err := tryLock(what, path)
		var busy *errBusy
		if !errors.As(err, &busy) {
			return l, err
		}
		select {
		case <-ctx.Done():
			return nil, err
		case <-time.After(10 * time.Millisecond):
		}
	}
}

// oneAtATime works on a file that several programs read, change and write, while no
// other of them does: what each puts in stays.
func oneAtATime(what, path string, work func() error) error {
	if err := makeFolder(filepath.Dir(path)); err != nil {
		return err
	}
	l, err := waitLock(what, path)
	if err != nil {
		return err
	}
	defer l.free()
	return work()
}

// current says whether a lock is on the file that has its name now, not on one
// that its last holder has taken away.
func current(f *flock.Flock) bool {
	held, err := f.Stat()
	if err != nil {
		return false
	}
	named, err := os.Stat(f.Path())
	return err == nil && os.SameFile(held, named)
}

// free gives the lock back. Its file goes while it is still held, so that nobody
// gets a lock on a file that is about to go; where open files cannot be taken
// away it goes after.
func (l *lock) free() {
	if l == nil || l.f == nil {
		return
	}
	err := os.Remove(l.f.Path())
	_ = l.f.Unlock()
	if err != nil {
		_ = os.Remove(l.f.Path()) // an empty file that is left does no harm
	}
	l.f = nil
}

// locks are those that a program holds until it ends, however often what is
// under them is left and come back to.
type locks struct {
	mu sync.Mutex
	of map[string]*lock // by the files that they keep
}

// hold takes the lock of a file, unless it is held already.
func (h *locks) hold(what, path string) error {
	h.mu.Lock()
	defer h.mu.Unlock()
	path = real(path)
	if h.of[path] != nil {
		return nil
	}
	l, err := tryLock(what, path)
	if err != nil {
		return err
	}
	if h.of == nil {
		h.of = map[string]*lock{}
	}
	h.of[path] = l
	return nil
}

// free gives them all back.
func (h *locks) free() {
	h.mu.Lock()
	defer h.mu.Unlock()
	for _, l := range h.of {
		l.free()
	}
	h.of = nil
}
