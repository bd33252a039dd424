package main

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var errCut = errors.New("the power is gone")

// memoryDisk is a disk that loses its power at a call. What was not flushed may
// then be there or not: the bytes of a file that was not synced, and what became
// of names since their folder was.
type memoryDisk struct {
	names map[string]*memoryFile // as the program sees them
	kept  map[string]*memoryFile // as they are flushed
	since []map[string]*memoryFile
	calls int
	dies  int // at which call, 0: never
	temps int
}

type memoryFile struct {
	d          *memoryDisk
	name       string
	data, kept string
}

func newMemoryDisk(dies int) *memoryDisk {
	return &memoryDisk{names: map[string]*memoryFile{}, kept: map[string]*memoryFile{}, dies: dies}
}

// cut counts a call, and says that the power is gone: from then on nothing
// happens any more.
func (d *memoryDisk) cut() bool {
	d.calls++
	return d.dies > 0 && d.calls >= d.dies
}

// changed notes what the names are after a change of one.
func (d *memoryDisk) changed() { d.since = append(d.since, maps.Clone(d.names)) }

func (d *memoryDisk) create(path string) (diskFile, error) {
	f := &memoryFile{d: d, name: path}
	d.names[path] = f
	d.changed()
	return f, nil
}

func (d *memoryDisk) temp(dir, _ string) (diskFile, error) {
	if d.cut() {
		return nil, errCut
	}
	d.temps++
	return d.create(filepath.Join(dir, fmt.Sprintf(".%d%s", d.temps, leftover)))
}

func (d *memoryDisk) exclusive(path string) (diskFile, error) {
	if d.cut() {
		return nil, errCut
	}
	if d.names[path] != nil {
		return nil, fs.ErrExist
	}
	return d.create(path)
}

func (d *memoryDisk) there(path string) bool { return d.names[path] != nil }

func (d *memoryDisk) rename(from, to string) error {
	if d.cut() {
		return errCut
	}
	if d.names[from] == nil {
		return fs.ErrNotExist
	}
	d.names[to] = d.names[from]
	delete(d.names, from)
	d.changed()
	return nil
}

func (d *memoryDisk) remove(path string) error {
	if d.cut() {
		return errCut
	}
	if d.names[path] == nil {
		return fs.ErrNotExist
	}
	delete(d.names, path)
	d.changed()
	return nil
}

func (d *memoryDisk) sync(string) {
	if !d.cut() {
		d.kept, d.since = maps.Clone(d.names), nil
	}
}

func (f *memoryFile) Name() string { return f.name }

// Write is cut in two where the power goes.
func (f *memoryFile) Write(p []byte) (int, error) {
	if f.d.cut() {
		f.data += string(p[:len(p)/2])
		return len(p) / 2, errCut
	}
	f.data += string(p)
	return len(p), nil
}

func (f *memoryFile) Chmod(fs.FileMode) error { return f.step(func() {}) }
func (f *memoryFile) Sync() error             { return f.step(func() { f.kept = f.data }) }
func (f *memoryFile) Close() error            { return f.step(func() {}) }

func (f *memoryFile) step(do func()) error {
	if f.d.cut() {
		return errCut
	}
	do()
	return nil
}

// states are all that may be found on the disk when the power is back: files by
// their names, with what was flushed of them.
func (d *memoryDisk) states() []map[string]string {
	var out []map[string]string
	for _, names := range append([]map[string]*memoryFile{d.kept}, d.since...) {
		flushed, whole := map[string]string{}, map[string]string{}
		for name, f := range names {
			flushed[name], whole[name] = f.kept, f.data
		}
		out = append(out, flushed, whole)
	}
	return out
}

// everyCut does something on a disk whose power goes at the first call, at the
// second, and so on until it is done. before sets the disk up.
func everyCut(t *testing.T, before, do func() error, holds func(done bool, state map[string]string)) {
	t.Helper()
	was := theDisk
	defer func() { theDisk = was }()
	for dies := 1; ; dies++ {
		require.Less(t, dies, 200)
		d := newMemoryDisk(0)
		theDisk = d
		require.NoError(t, before())
		d.calls, d.dies = 0, dies
		err := do()
		done := d.calls < dies
		if done {
			require.NoError(t, err)
		}
		for _, state := range d.states() {
			holds(done, state)
		}
		if done {
			require.Greater(t, dies, 5, "so many calls were cut at least")
			return
		}
	}
}

// TestPowerCutWhileSaving cuts a save at each call: the file holds the old or the
// new, whole, and once it was said to be saved the new.
func TestPowerCutWhileSaving(t *testing.T) {
	path := filepath.Join(t.TempDir(), "hunt.json")
	path = real(path)
	write := func(s string) func() error { return func() error { return writeFile(path, []byte(s)) } }
	everyCut(t, write("the old"), write("the new"), func(done bool, state map[string]string) {
		if done {
			assert.Equal(t, "the new", state[path])
		} else {
			assert.Contains(t, []string{"the old", "the new"}, state[path])
		}
		for name := range state {
			assert.True(t, name == path || filepath.Base(name)[0] == '.', "%s lies about", name)
		}
	})
}

// TestPowerCutWhileBeginningAgain begins a second and a third hunt in one file, cut
// at each call: both from before are there.
func TestPowerCutWhileBeginningAgain(t *testing.T) {
	path := real(filepath.Join(t.TempDir(), "hunt.json"))
	again := func(s string) error {
		if _, err := putAside(path); err != nil {
			return err
		}
		return writeFile(path, []byte(s))
	}
	everyCut(t, func() error {
		return errors.Join(again("first"), again("second"))
	}, func() error { return again("third") },
		func(done bool, state map[string]string) {
			held := map[string]int{}
			for _, text := range state {
				held[text]++
			}
			assert.Positive(t, held["first"], "%v", state)
			assert.Positive(t, held["second"], "%v", state)
			if done {
				assert.Equal(t, "third", state[path])
			}
		})
}

// TestPowerCutAtTheEndOfADrill puts a drill on record and then takes it away, cut at
// each call: the one or the other is there.
func TestPowerCutAtTheEndOfADrill(t *testing.T) {
	dir := t.TempDir()
	kept, records := real(filepath.Join(dir, "drill.json")), real(filepath.Join(dir, "records.json"))
	everyCut(t, func() error {
		return errors.Join(writeFile(kept, []byte("drill")), writeFile(records, []byte("one")))
	}, func() error {
		if err := writeFile(records, []byte("one, two")); err != nil {
			return err
		}
		return deleteFile(kept)
	}, func(done bool, state map[string]string) {
		assert.True(t, state[kept] == "drill" || state[records] == "one, two", "%v", state)
		if done {
			assert.NotContains(t, state, kept)
		}
	})
}
