package main

import (
	"errors"
	"io"
	"strconv"
	"sync"

	"fishplate/diagnose/drill/coach"
	"fishplate/diagnose/drill/debrief"
	"fishplate/diagnose/drill/lesson"
	"fishplate/diagnose/drill/sitting"
	practice "fishplate/tui/drill"
)

// drillScreens is the drill on the screens, on the layout or the lesson that was
// asked for.
func drillScreens(w *world, a *drillArgs) int {
	if _, _, ok := w.terminal(); !ok {
		if code := w.noTerminal(a.name); code != exitOK {
			return w.usage("for a drill line by line add --plain", "fishplate drill --plain "+a.name)
		}
	}
	c := practice.Choice{Fault: a.fault, Difficulty: a.difficulty, Coach: a.level, Class: a.class, Minutes: a.minutes,
		Lesson: a.lesson, Resume: a.resume}
	if !a.asked {
		c = practice.Choice{}
	}
	return screens(w, screenArgs{name: a.name, kit: a.kit, look: a.look, drill: &c, drillArgs: a})
}

// drills is what the screens practise with.
func (w drilling) drills(s screenArgs) *drills {
	k := &drills{w: newWorld(w.in, io.Discard, io.Discard)} // the screen is no place for stderr
	if s.drillArgs != nil {
		k.a = *s.drillArgs
	} else {
		k.a = drillArgs{name: s.name, kit: s.kit}
	}
	return k
}

// drills shows lessons, saves and records to the screens.
type drills struct {
	w  *world
	a  drillArgs // as on the command line; choices of the menu go on top
	mu sync.Mutex
	// keep is where the drill is kept that goes on, nil before the first.
	keep *drillStore
}

// Lessons lists ours, with what the records say.
func (k *drills) Lessons() ([]practice.Lesson, error) {
	names, err := lesson.Names(lesson.Own())
	if err != nil {
		return nil, err
	}
	passed := map[string]bool{}
	list, err := k.a.readRecords()
	for _, r := range list {
		passed[r.Lesson] = passed[r.Lesson] || r.Passed
	}
	var out []practice.Lesson
	for i := range names {
		t, err := drilling{k.w}.layLesson(strconv.Itoa(i + 1))
		if err != nil {
			return nil, err
		}
		out = append(out, practice.Lesson{Number: t.lesson.Number, Title: t.lesson.Title, Goal: t.lesson.Goal,
			Passed: passed[t.lesson.Title]})
	}
	return out, err
}

// Begin hides a fault.
func (k *drills) Begin(c practice.Choice) (*sitting.Sitting, error) {
	a := k.a
	a.lesson, a.fault, a.difficulty, a.level, a.class, a.resume = c.Lesson, c.Fault, c.Difficulty, c.Coach,
		c.Class, false
	if a.minutes = c.Minutes; a.lesson != "" {
		a.minutes = 0
	}
	return k.sit(&drillStore{a: &a}, nil)
}

// sit begins a drill, or goes on with the one that was left.
func (k *drills) sit(keep *drillStore, left []byte) (*sitting.Sitting, error) {
	t, err := drilling{k.w}.lay(keep.a)
	if err == nil {
		var s *sitting.Sitting
		if s, err = (drilling{k.w}).sit(t, keep.a, left); err == nil {
			k.hold(keep)
			return s, nil
		}
	}
	keep.close()
	return nil, err
}

// hold lets the drill from before go and keeps another one.
func (k *drills) hold(keep *drillStore) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.keep.close()
	k.keep = keep
}

// left says that a drill was begun here that can be gone on with.
func (k *drills) left() *drillStore {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.keep == nil || !k.keep.saved {
		return nil
	}
	return k.keep
}

// Kept takes up the drill that was left; nil when there is none.
func (k *drills) Kept() (*sitting.Sitting, error) {
	k.hold(nil) // it may be the one from before
	a := k.a
	keep := &drillStore{a: &a}
	data, err := keep.takeUp()
	var none *errNoDrill
	if errors.As(err, &none) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	a.follow(data)
	if a.level == "" {
		a.level = string(coach.Hint)
	}
	return k.sit(keep, data)
}

// Save keeps the drill, its fault sealed.
func (k *drills) Save(s *sitting.Sitting) error { return k.keep.save(s) }

// Done puts the drill on record and looks back.
func (k *drills) Done(s *sitting.Sitting) (*debrief.Debrief, error) { return k.keep.finish(s) }

// Progress is the records in lines.
func (k *drills) Progress() ([]string, error) {
	list, err := k.a.readRecords()
	return debrief.Progress(list), err
}
