package main

import (
	"errors"
	"fmt"

	"fishplate/diagnose/outside"
	"fishplate/tui"
)

// goOn takes up the hunt that is kept, unless a fresh one was asked for, and
// puts it into the options of the screens.
func goOn(o *tui.Options, src *source, st *store, a screenArgs) error {
	if err := st.migrateInto(&o.Greeting); err != nil {
		o.Greeting = outside.Line(err.Error())
	}
	e, err := st.wanted(a.record)
	if st.note != "" {
		o.Greeting = st.note
	}
	if err != nil && a.record == "" { // the screens say the same at every answer
		o.Greeting = outside.Line(fmt.Sprintf("This hunt will not be saved: %v", err))
		return nil
	}
	if err != nil || e == nil {
		return err
	}
	st.aside = st.archive == nil
	if a.fresh || a.symptom != nil {
		return nil
	}
	old, err := resume(src, a.kit, e)
	if err != nil && a.record == "" && st.archive != nil { // it was not asked for: it stops no other hunt
		o.Greeting = outside.Line(fmt.Sprintf("The hunt begun %s is left out: %v", e.begun(), err))
		return nil
	}
	if err != nil {
		return fmt.Errorf("the hunt kept in %s cannot be gone on with: %w; %s", e.path, err, anew(st, a.name))
	}
	if !old.open && a.record == "" {
		return nil
	}
	var busy *errBusy
	switch err := st.goOn(e); {
	case errors.As(err, &busy) && src.demo:
		st.path = ""
		o.Greeting = "The demo's hunt is open in another fishplate: this is a new one"
		return nil
	case errors.As(err, &busy):
		return fmt.Errorf("%w; a second hunt beside it: fishplate --new %s", err, a.name)
	case err != nil:
		return err
	}
	o.Hunt, o.Kit, o.KitKnown = &watched{old.hunt, st}, old.kit, true
	o.Greeting = "Going on with the hunt begun " + e.begun() + "; begin a new one with: fishplate --new " + a.name
	return nil
}

// anew says how to begin again beside a hunt that cannot be gone on with.
func anew(st *store, name string) string {
	if st.archive == nil {
		return "begin a new one there (the file is kept as .old) without --resume, or name another file behind --save"
	}
	return fmt.Sprintf("begin a new one (that one stays) with: fishplate --new %s", name)
}

// migrateInto makes records of hunts kept in the old way and adds a word on it
// to a greeting.
func (st *store) migrateInto(greeting *string) error {
	if st.archive == nil {
		return nil
	}
	said, err := st.archive.migrate()
	if said != "" {
		*greeting = said
	}
	return err
}

// wanted is the record that was asked for, else the one that find gives.
func (st *store) wanted(record string) (*entry, error) {
	if record == "" {
		return st.find()
	}
	if st.archive == nil {
		return nil, errors.New("--record and --save exclude each other: write one of them")
	}
	return st.archive.find(record)
}

// begun is when the hunt was begun, in words.
func (e *entry) begun() string {
	if e.rec == nil || e.rec.Began.IsZero() {
		return "before"
	}
	return e.rec.Began.Format("2006-01-02 15:04")
}

// nothing says that there is no hunt to go on with.
func (st *store) nothing() error {
	if st.archive == nil {
		return fmt.Errorf("there is no hunt to go on with: %s does not exist", st.path)
	}
	return fmt.Errorf("there is no hunt to go on with: none is kept in %s", st.archive.dir)
}
