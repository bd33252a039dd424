package main

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"fishplate/diagnose/drill"
	"fishplate/diagnose/drill/debrief"
	"fishplate/diagnose/drill/sitting"
	"fishplate/diagnose/outside"
)

// drillStore keeps one drill, its fault sealed, in one file: the one of --save,
// else one of the learner's own in the user's configuration folder. A lock
// keeps a second fishplate away from it.
type drillStore struct {
	a    *drillArgs
	path string // empty until the drill has a file
	// saved says that the drill lies there as it stands.
	saved bool
	lock  *lock
	// aside is where a drill from before was put, empty for none.
	aside string
}

// mostDrills is how many drills of one learner go on at the same time.
const mostDrills = 99

// place is where the nth drill that a learner has going is kept; with --save
// there is one.
func (a *drillArgs) place(n int) (string, error) {
	if a.save != "" {
		return a.save, nil
	}
	name := "drill"
	if a.learner != "" {
		name += "." + fileWord(a.learner)
	}
	if n > 1 {
		name += "-" + strconv.Itoa(n)
	}
	return drillFile(name + ".json")
}

// fileWord makes a name into a word that every disk takes, another one for
// every name; names that differ in capitals alone are one.
func fileWord(name string) string {
	const most = 40
	low := strings.ToLower(name)
	word := strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			return r
		}
		return '-'
	}, low)
	if word == low && len(word) <= most {
		return word
	}
	sum := sha256.Sum256([]byte(low))
	return word[:min(len(word), most)] + "-" + hex.EncodeToString(sum[:4])
}

// claim takes a file for a new drill: the first that nobody holds. A drill that
// lies there is put aside.
func (k *drillStore) claim() error {
	var busy *errBusy
	for n := 1; n <= mostDrills; n++ {
		path, err := k.a.place(n)
		if err != nil {
			return err
		}
		if err := makeFolder(filepath.Dir(path)); err != nil {
			return err
		}
		l, err := tryLock("drill", path)
		if errors.As(err, &busy) && k.a.save == "" {
			continue
		}
		if err != nil {
			return err
		}
		if k.aside, err = putAside(path); err != nil {
			l.free()
			return err
		}
		k.path, k.lock = path, l
		return nil
	}
	return busy
}

// save keeps the drill; it gets its file at the first act.
func (k *drillStore) save(s *sitting.Sitting) error {
	k.saved = false
	data, err := s.Save()
	if err == nil && k.path == "" {
		err = k.claim()
	}
	if err == nil {
		err = writeFile(k.path, data)
	}
	k.saved = err == nil
	return err
}

// errNoDrill says that no drill is kept.
type errNoDrill struct{ path string }

func (e *errNoDrill) Error() string {
	out := fmt.Sprintf("there is no drill to go on with: %s does not exist", e.path)
	if hints := e.others(); len(hints) > 0 {
		out += "; kept beside it: " + strings.Join(hints, ", ")
	}
	return out
}

// others are the drills of other learners beside the one that is not there, each with
// what to add to go on with it.
func (e *errNoDrill) others() []string {
	files, err := filepath.Glob(filepath.Join(filepath.Dir(e.path), "drill.*.json"))
	if err != nil {
		return nil
	}
	var out []string
	for _, f := range files {
		base := filepath.Base(f)
		name := strings.TrimSuffix(strings.TrimPrefix(base, "drill."), ".json")
		add := "--name " + name
		if strings.Contains(name, "-") { // a name that is no file's, or a second drill
			add = "--save " + asTyped(f)
		}
		out = append(out, fmt.Sprintf("%s (add %s)", base, add))
	}
	return out
}

// follow takes lesson and length from the drill that is gone on with, where none was
// asked for.
func (a *drillArgs) follow(left []byte) {
	if a.lesson != "" {
		return
	}
	a.lesson = lessonOf(left)
	if o, err := drill.SavedOptions(left); err == nil {
		a.minutes = o.Minutes
	}
}

// takeUp reads the drill that was left last and that nobody holds, and holds it.
func (k *drillStore) takeUp() ([]byte, error) {
	type left struct {
		path string
		at   time.Time
	}
	var all []left
	for n := 1; n <= mostDrills; n++ {
		path, err := k.a.place(n)
		if err != nil {
			return nil, err
		}
		if info, err := os.Stat(path); err == nil || !errors.Is(err, fs.ErrNotExist) {
			f := left{path: path}
			if err == nil {
				f.at = info.ModTime()
			}
			all = append(all, f)
		}
		if k.a.save != "" {
			break
		}
	}
	slices.SortStableFunc(all, func(a, b left) int { return b.at.Compare(a.at) })
	first, err := k.a.place(1)
	if err != nil {
		return nil, err
	}
	err = &errNoDrill{first}
	for _, f := range all {
		var data []byte
		var busy *errBusy
		if data, err = k.hold(f.path); !errors.As(err, &busy) {
			return data, err
		}
	}
	return nil, err
}

// hold locks a drill's file and reads it.
func (k *drillStore) hold(path string) ([]byte, error) {
	l, err := tryLock("drill", path)
	if err != nil {
		return nil, err
	}
	data, err := readOutside(path, outside.Drill)
	if err != nil {
		l.free()
		return nil, fmt.Errorf("could not read the saved drill: %w", err)
	}
	k.path, k.lock, k.saved = path, l, true
	return data, nil
}

// finish puts the drill on record and looks back on it. What is kept of it goes
// only once the record lies on the disk.
func (k *drillStore) finish(s *sitting.Sitting) (*debrief.Debrief, error) {
	b, err := k.a.record(s)
	if err == nil && k.path != "" {
		if err = deleteFile(k.path); err == nil {
			k.path, k.saved = "", false
		}
	}
	k.close()
	return b, err
}

// close lets the file go; the drill stays in it.
func (k *drillStore) close() {
	if k != nil {
		k.lock.free()
		k.lock = nil
	}
}

// words are what goes behind a command that goes on with the drill.
func (k *drillStore) words() string {
	if first, err := k.a.place(1); k.a.save != "" || err == nil && k.path != first {
		return " --save " + k.path
	}
	if k.a.learner != "" {
		return " --name " + asTyped(k.a.learner)
	}
	return ""
}

// asTyped is a word as it is typed behind a command.
func asTyped(s string) string {
	if strings.ContainsAny(s, " \t'\"$&|;<>()*?`\\") {
		return strconv.Quote(s)
	}
	return s
}
