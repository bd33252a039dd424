package main

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"sort"
	"strconv"
	"strings"
	"time"

	"fishplate/diagnose/outside"
	"fishplate/diagnose/report"
)

// archive is the folder in which the hunts of one layout are kept, one file a
// hunt: LAYOUT.hunts beside the layout, for the demo a folder in the user's
// own configuration folder.
type archive struct {
	dir    string
	src    *source
	load   func() (*source, error) // reads the layout's file, once a record wants it
	finder string                  // of new records
	units  string                  // of lengths in reports: "mm", "in", or empty as the layout has them
	now    func() time.Time
}

// entry is one record of an archive.
type entry struct {
	id   string
	path string
	rec  *record
	err  error // why it cannot be read; rec is nil then
}

func newArchive(src *source) (*archive, error) {
	a := &archive{src: src, now: time.Now}
	if !src.demo {
		a.dir = src.name + ".hunts"
		return a, nil
	}
	dir, err := os.UserConfigDir()
	if err != nil {
		return nil, fmt.Errorf("there is no folder to keep the hunt in: %w", err)
	}
	a.dir = filepath.Join(dir, "fishplate", "demo.hunts")
	return a, nil
}

// list reads all records, the newest first; those dated in the future are last.
func (a *archive) list() ([]entry, error) { return a.recent(math.MaxInt) }

// recent reads the n records that were begun last, the newest first. Those with
// a name as claim gives them are told apart by it; all others are read.
func (a *archive) recent(n int) ([]entry, error) {
	files, err := os.ReadDir(a.dir)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("could not read the records: %w", err)
	}
	var ids []string
	for _, f := range files {
		id, ok := strings.CutSuffix(f.Name(), ".json")
		if ok && !f.IsDir() && !strings.HasPrefix(id, ".") {
			ids = append(ids, id)
		}
	}
	day := a.now().Add(ahead).Format(time.DateOnly)
	sort.SliceStable(ids, func(i, k int) bool { return laterName(ids[i], ids[k], day) })
	var out []entry
	for _, id := range ids {
		if dated(id) && n <= 0 {
			continue
		}
		if dated(id) {
			n--
		}
		out = append(out, readEntry(id, filepath.Join(a.dir, id+".json")))
	}
	sort.SliceStable(out, func(i, k int) bool { return a.later(&out[i], &out[k]) })
	return out, nil
}

// spare is how many more records than are wanted are read: the day in a name may be
// another one than that of the record's beginning, by a clock that was set.
const spare = 8

// ahead is how far clocks may differ, and days begin elsewhere: a record dated
// later than that is of no time that was.
const ahead = 48 * time.Hour

// future says that a record cannot have been begun when it says, or when its
// name says where it cannot be read.
func (a *archive) future(e *entry) bool {
	limit := a.now().Add(ahead)
	if e.rec != nil {
		return e.rec.Began.After(limit)
	}
	day, _ := serial(e.id)
	return dated(e.id) && day > limit.Format(time.DateOnly)
}

func readEntry(id, path string) entry {
	e := entry{id: id, path: path}
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() {
		e.err = errors.New("it is no file")
		return e
	}
	data, err := readOutside(path, outside.Record)
	if err == nil {
		e.rec, err = readRecord(data)
	}
	e.err = err
	return e
}

// later orders records by when they were begun; those that cannot be read by
// their names, which begin with the date too. The future is last.
func (a *archive) later(x, y *entry) bool {
	if fx, fy := a.future(x), a.future(y); fx != fy {
		return fy
	}
	if x.rec != nil && y.rec != nil && !x.rec.Began.Equal(y.rec.Began) {
		return x.rec.Began.After(y.rec.Began)
	}
	return laterName(x.id, y.id, "")
}

// laterName orders ids, days after a given one last.
func laterName(x, y, day string) bool {
	dx, nx := serial(x)
	dy, ny := serial(y)
	if fx, fy := day != "" && dx > day, day != "" && dy > day; fx != fy {
		return fy
	}
	if dx != dy {
		return dx > dy
	}
	return nx > ny
}

// dated says whether an id is one that claim gives.
func dated(id string) bool {
	day, n := serial(id)
	_, err := time.Parse(time.DateOnly, day)
	return err == nil && n > 0
}

// serial takes an id apart: 2026-11-25-12 is the twelfth of its day.
func serial(id string) (day string, n int) {
	i := strings.LastIndexByte(id, '-')
	if i < 0 {
		return id, 0
	}
	n, err := strconv.Atoi(id[i+1:])
	if err != nil {
		return id, 0
	}
	return id[:i], n
}

// newest is the record of the hunt begun last; nil when there is none. One that
// is dated in the future is passed over, and why; one that cannot be read too,
// unless strict.
func (a *archive) newest(strict bool) (*entry, string, error) {
	for n := spare; ; n *= 8 {
		some, err := a.recent(n)
		if err != nil {
			return nil, "", err
		}
		note := ""
		for i := range some {
			e := &some[i]
			switch {
			case a.future(e):
				note = fmt.Sprintf("The record %s is left out: it is dated in the future", outside.Line(e.id))
			case e.err != nil && !strict:
				note = fmt.Sprintf("The record %s is left out: %v", outside.Line(e.id), e.err)
			default:
				return e, note, nil
			}
		}
		if len(some) < n { // that was all
			return nil, note, nil
		}
	}
}

// find gives the record of an id, of a number in the list (1 is the newest),
// of a name given by the user, or of a file.
func (a *archive) find(word string) (*entry, error) {
	if path := filepath.Join(a.dir, word+".json"); dated(word) {
		if e := readEntry(word, path); !errors.Is(e.err, fs.ErrNotExist) {
			return &e, nil
		}
	}
	n, err := strconv.Atoi(word)
	if err == nil && n >= 1 && n < math.MaxInt-spare { // the newest are found without reading all
		some, err := a.recent(n + spare)
		if err != nil {
			return nil, err
		}
		if n <= len(some) && !a.future(&some[n-1]) {
			return &some[n-1], nil
		}
	}
	all, err := a.list()
	if err != nil {
		return nil, err
	}
	if n >= 1 && n <= len(all) {
		return &all[n-1], nil
	}
	for i := range all {
		if all[i].id == word || (all[i].rec != nil && strings.EqualFold(all[i].rec.Name, word)) {
			return &all[i], nil
		}
	}
	if strings.HasSuffix(word, ".json") {
		e := readEntry(strings.TrimSuffix(filepath.Base(word), ".json"), word)
		if !errors.Is(e.err, fs.ErrNotExist) {
			return &e, nil
		}
	}
	if len(all) == 0 {
		return nil, fmt.Errorf("no hunt of %s is kept yet: %s is not there or empty", a.src.name, a.dir)
	}
	return nil, fmt.Errorf("there is no record %q; there are 1 to %d, the newest first: fishplate records %s", word,
		len(all), a.src.name)
}

// old is where a hunt was kept before there were records.
func (a *archive) old() []string {
	p := strings.TrimSuffix(a.dir, ".hunts") + ".hunt.json"
	return []string{p + ".old", p}
}

// migrate makes records of hunts that were kept in the old way. The old file
// goes only after its record lies on the disk; one that is no hunt stays. It
// says what it did, empty for nothing.
func (a *archive) migrate() (string, error) {
	said := ""
	for _, path := range a.old() {
		info, err := os.Stat(path)
		if err != nil {
			continue
		}
		e := readEntry("", path)
		if e.err != nil {
			return said, fmt.Errorf("an old hunt, %s, cannot be moved to %s: %w; move it away yourself", path, a.dir,
				e.err)
		}
		r := e.rec
		r.Began, r.Saved = info.ModTime().Round(time.Second), info.ModTime().Round(time.Second)
		st := &store{archive: a, rec: *r, now: func() time.Time { return r.Saved }}
		if err := st.claim(); err != nil {
			return said, err
		}
		err = st.put()
		err = errors.Join(err, st.close())
		if err == nil {
			err = deleteFile(path)
		}
		if err != nil {
			return said, fmt.Errorf("an old hunt, %s, could not be moved to %s: %w", path, a.dir, err)
		}
		said = fmt.Sprintf("The hunts of this layout are now kept in %s; the one from before is there.", a.dir)
	}
	return said, nil
}

// refresh works out the outcome of a record where the one kept is of an older
// state of its hunt (the program was cut off).
func (a *archive) refresh(e *entry) {
	n := e.rec.events()
	if e.rec.Outcome.Events == n && e.rec.Outcome.State != "" {
		return
	}
	_, h, err := e.rec.replay(a.layoutOf(e.rec))
	if err != nil {
		e.rec.Outcome.State = report.State("cannot be replayed: " + err.Error())
		return
	}
	v := h.View()
	e.rec.Outcome = outcomeOf(&v, h.History(), n)
}

// edit changes a record on the disk, alone: not while a hunt goes on in it.
func (a *archive) edit(e *entry, change func(*record)) error {
	if e.err != nil {
		return fmt.Errorf("the record %s cannot be changed: %w", e.id, e.err)
	}
	st := &store{path: e.path, now: a.now}
	if err := st.take(); err != nil {
		return err
	}
	fresh := readEntry(e.id, e.path)
	if fresh.err != nil {
		return errors.Join(fresh.err, st.close())
	}
	change(fresh.rec)
	st.rec, st.kept = *fresh.rec, true
	err := st.put()
	if err == nil {
		e.rec = fresh.rec
	}
	return errors.Join(err, st.close())
}
