package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"time"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/outside"
)

// store keeps one hunt in one file: a record of an archive, or the file that
// was named with --save. A lock beside the file keeps a second fishplate away
// while the hunt goes on; a file that something else changed all the same (a
// folder shared between machines) is left alone.
type store struct {
	mu      sync.Mutex
	archive *archive // nil for a file of --save
	path    string   // empty until a new record gets its name
	// aside says that another hunt lies there that was not gone on with: it is
	// put aside as .old before the first write (--save only).
	aside bool
	rec   record
	kept  bool // rec lies on the disk
	lock  *lock
	seen  os.FileInfo // of the file as it was written or read last
	last  time.Time   // when the hunt was saved last, to reckon the time spent
	now   func() time.Time
	// strict says that the newest was asked for, whatever it is.
	strict bool
	// lost is why the last event is not on the disk, nil where it is.
	lost error
	// note says which record was passed over, empty for none.
	note string
	// fresh is an outcome that is not on the disk yet.
	fresh *outcome
	// off are the steps that take the power off, for who leaves.
	off []string
}

// keep is where a hunt is kept: as asked for, else in a record of its own.
func keep(src *source, asked string) (*store, error) {
	if asked != "" {
		return &store{path: asked, now: time.Now, rec: record{Layout: src.kept()}}, nil
	}
	a, err := newArchive(src)
	if err != nil {
		return nil, err
	}
	sweep(a.dir, a.now())
	return &store{archive: a, now: a.now, rec: record{Layout: src.kept()}}, nil
}

// by signs new records with the finder's name from the settings.
func (st *store) by(c *config) {
	if st.archive != nil {
		st.archive.finder, st.archive.units = c.value["finder"], unitsOf(c)
	}
}

func unitsOf(c *config) string {
	if u := c.value["units"]; u != "layout" {
		return u
	}
	return ""
}

// find reads the hunt that would be gone on with: of the file of --save, else
// of the newest record. It is nil when there is none.
func (st *store) find() (*entry, error) {
	if st.archive != nil {
		e, note, err := st.archive.newest(st.strict)
		st.note = note
		return e, err
	}
	e := readEntry("", st.path)
	if errors.Is(e.err, fs.ErrNotExist) {
		return nil, nil
	}
	return &e, nil
}

// goOn makes this the store of a record that is there already.
func (st *store) goOn(e *entry) error {
	st.mu.Lock()
	defer st.mu.Unlock()
	st.path = e.path
	if err := st.take(); err != nil {
		return err
	}
	now := readEntry(e.id, e.path)
	if now.err != nil || !bytes.Equal(now.rec.Hunt, e.rec.Hunt) {
		st.unlock()
		st.path = ""
		return errors.Join(now.err, fmt.Errorf("the hunt in %s went on in another fishplate just now: start again",
			e.path))
	}
	layout := st.rec.Layout                           // as it is now
	st.rec, st.kept, st.aside = *now.rec, true, false // notes may have come
	st.rec.Layout = layout
	return nil
}

// take locks the file, and notes how it looks.
func (st *store) take() error {
	if err := makeFolder(filepath.Dir(st.path)); err != nil {
		return err
	}
	l, err := tryLock("hunt", st.path)
	if err != nil {
		return err
	}
	st.lock = l
	st.seen, _ = os.Stat(st.path) // nil: it is not there yet
	return nil
}

// claim gives a new record a name of its own: the day and a number.
func (st *store) claim() error {
	day := st.now().Format(time.DateOnly)
	for n := 1; n < 10000; n++ {
		st.path = filepath.Join(st.archive.dir, fmt.Sprintf("%s-%d.json", day, n))
		if _, err := os.Lstat(st.path); err == nil {
			continue
		}
		err := st.take()
		var busy *errBusy
		switch {
		case errors.As(err, &busy):
			continue
		case err != nil:
			st.path = ""
			return err
		case st.seen != nil: // it came in between
			st.unlock()
			continue
		}
		return nil
	}
	st.path = ""
	return fmt.Errorf("there are too many hunts of %s in %s", day, st.archive.dir)
}

// write keeps a hunt's journal. It is called after every event.
func (st *store) write(journal []byte) error {
	st.mu.Lock()
	defer st.mu.Unlock()
	st.lost = st.writeLocked(journal)
	var moved *errMoved
	if err := st.lost; errors.As(err, &moved) { // it is kept all the same
		st.lost = nil
		return err
	}
	return st.lost
}

func (st *store) writeLocked(journal []byte) error {
	if st.path == "" {
		if err := st.claim(); err != nil {
			return err
		}
		if st.archive.finder != "" && st.rec.Finder == "" {
			st.rec.Finder = st.archive.finder
		}
	} else if st.lock == nil && !st.kept {
		if err := st.take(); err != nil {
			return err
		}
		st.aside = st.aside || st.seen != nil // it came after this hunt was begun
	}
	now := st.now().Round(time.Second)
	if st.rec.Began.IsZero() {
		st.rec.Began = now
	}
	// A long pause is no time spent on the hunt.
	if pause := now.Sub(st.last); !st.last.IsZero() && pause > 0 && pause < 30*time.Minute {
		st.rec.Spent += pause.Minutes()
	}
	st.last, st.rec.Saved = now, now
	st.rec.Hunt = journal
	return st.put()
}

// put writes the record to the disk, unless something else changed it.
func (st *store) put() error {
	st.rec.Format = recordFormat
	if st.aside {
		if _, err := putAside(st.path); err != nil {
			return err
		}
		st.aside, st.seen = false, nil
	}
	if now, err := os.Stat(st.path); err == nil && !sameFile(st.seen, now) {
		return st.elsewhere()
	}
	data, err := st.rec.bytes()
	if err == nil {
		err = outside.Record.JSON(data) // what could not be read again is no save
	}
	if err != nil {
		return err
	}
	if err := writeFile(st.path, data); err != nil {
		return err
	}
	st.seen, err = os.Stat(st.path)
	st.kept = true
	return err
}

// sameFile says whether a file is as it was seen last.
func sameFile(seen, now os.FileInfo) bool {
	return seen != nil && seen.Size() == now.Size() && seen.ModTime().Equal(now.ModTime())
}

// errMoved says that the hunt is saved, but in another file than before.
type errMoved struct{ from, to string }

func (e *errMoved) Error() string {
	return fmt.Sprintf("%s was changed by another program and is left as it is: this hunt is kept in %s from now on",
		e.from, e.to)
}

// elsewhere keeps the hunt in a new record, since its file is not what was
// written there last.
func (st *store) elsewhere() error {
	from := st.path
	if st.archive == nil {
		return fmt.Errorf("%s was changed by another program, and is left as it is; begin again with another --save",
			from)
	}
	st.unlock()
	if err := st.claim(); err != nil {
		return err
	}
	if err := st.put(); err != nil {
		return err
	}
	return &errMoved{from, st.path}
}

// see notes what a hunt has come to; close puts it on the disk.
func (st *store) see(h *hunt.Hunt, v *hunt.View) {
	st.mu.Lock()
	defer st.mu.Unlock()
	st.off = v.Off
	if st.path == "" {
		return
	}
	o := outcomeOf(v, h.History(), st.rec.events())
	st.fresh = &o
}

// close ends the keeping: the last outcome is written and the lock given back.
func (st *store) close() error {
	st.mu.Lock()
	defer st.mu.Unlock()
	var err error
	if st.fresh != nil && st.kept && *st.fresh != st.rec.Outcome {
		st.rec.Outcome = *st.fresh
		err = st.put()
	}
	st.unlock()
	return err
}

// goodbye says what must not stay on, where the hunt is kept and what to type next:
// again goes on with it, unless its repair is proven.
func (st *store) goodbye(src *source, again string, proven bool) []string {
	st.mu.Lock()
	defer st.mu.Unlock()
	out := parting(st.off)
	switch {
	case !st.kept:
		return append(out, "Nothing was saved.")
	case st.lost != nil:
		return append(out, fmt.Sprintf("The last answers are not saved: %v. What %s holds is older.", st.lost, st.path))
	case !proven || st.archive == nil:
		return append(out, fmt.Sprintf("The hunt is saved in %s.", st.path), "Go on with it: "+again)
	}
	out = append(out, fmt.Sprintf("The hunt is saved in %s.", st.path),
		fmt.Sprintf("Its report: fishplate report %s -o report.html", src.name))
	if src.demo {
		out = append(out, "Next: fishplate opens this layout on the screen, and fishplate walk my-layout.hcl --shape "+
			"oval begins your own.")
	}
	return out
}

// parting says what takes the power off.
func parting(off []string) []string {
	var out []string
	for _, s := range off {
		out = append(out, "Before you go: "+s+".")
	}
	return out
}

// at is the file of the hunt, empty while it has none.
func (st *store) at() string {
	st.mu.Lock()
	defer st.mu.Unlock()
	return st.path
}

// looksBack is how many hunts are asked for what they learned.
const looksBack = 64

// learned is what the newest hunt that learned anything says of the layout's
// resistances, nil when none of the last ones did.
func (st *store) learned() *hunt.Track {
	if st == nil || st.archive == nil {
		return nil
	}
	some, err := st.archive.recent(looksBack)
	if err != nil {
		return nil // it is said when the records are opened
	}
	for i := range some {
		if r := some[i].rec; r != nil && r.Outcome.Track != (hunt.Track{}) {
			return &r.Outcome.Track
		}
	}
	return nil
}

func (st *store) unlock() {
	st.lock.free()
	st.lock = nil
}

// change changes the record of the hunt that goes on.
func (st *store) change(f func(*record)) error {
	st.mu.Lock()
	defer st.mu.Unlock()
	f(&st.rec)
	if !st.kept {
		return nil // it goes out with the first answer
	}
	return st.put()
}

// watched is a hunt whose outcome is noted for its record.
type watched struct {
	*hunt.Hunt
	st *store
}

// View is the hunt's own.
func (w *watched) View() hunt.View {
	v := w.Hunt.View()
	w.st.see(w.Hunt, &v)
	return v
}

// saved is a hunt that was taken up again.
type saved struct {
	hunt *hunt.Hunt
	kit  hunt.Kit
	open bool // it has not come to its end
}

// resume takes up a kept hunt. The kit is the one it was begun with, unless
// another one was given.
func resume(s *source, k *kitFlag, e *entry) (*saved, error) {
	if e.err != nil {
		return nil, e.err
	}
	kit, ok := e.rec.kit()
	if k.given || !ok {
		begun := kit // a hunt goes on as it was begun
		kit = k.kit
		kit.Bisect = begun.Bisect || !ok && kit.Bisect
		kit.Block = begun.Block || !ok && kit.Block
	}
	for _, change := range k.over {
		change(&kit)
	}
	h, err := hunt.Resume(s.layout, kit, e.rec.Hunt)
	if err != nil {
		return nil, err
	}
	v := h.View()
	d := v.Step.Done
	over := d != nil && (d.Proven || d.Prove == nil)
	return &saved{h, kit, v.Symptom != nil && !over}, nil
}
