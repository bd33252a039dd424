package main

import (
	"time"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/report"
	"fishplate/diagnose/unit"
	kept "fishplate/tui/record"
)

// keeper shows an archive to the screens. The hunt that goes on is changed
// through its own store.
type keeper struct {
	a  *archive
	st *store
}

// records is what the screens see of the hunts kept; nil where a hunt has a
// file of its own (--save) or there is no place to keep any.
func (st *store) records() kept.Keeper {
	if st == nil || st.archive == nil {
		return nil
	}
	return &keeper{st.archive, st}
}

// List gives all records, the newest first.
func (k *keeper) List() ([]kept.Entry, error) {
	all, err := k.a.list()
	if err != nil {
		return nil, err
	}
	out := make([]kept.Entry, len(all))
	for i := range all {
		e := &all[i]
		out[i] = kept.Entry{ID: e.id, Current: e.path == k.st.at()}
		if e.rec == nil {
			out[i].Broken = e.err.Error()
			continue
		}
		k.a.refresh(e)
		o := &e.rec.Outcome
		out[i].Name, out[i].Piece, out[i].State = e.rec.Name, o.Piece, string(o.State)
		out[i].Symptom = symptomShort(o)
		if o.At == "" && o.Symptom != "" {
			out[i].Symptom = report.SymptomWords(hunt.SymptomKind(o.Symptom))
		}
		out[i].Effort = unit.Count(o.Readings, "reading") + ", " + unit.FormatMinutes(o.Minutes)
	}
	return out, nil
}

// Open makes the report of one.
func (k *keeper) Open(id string) (*report.Report, error) {
	e, err := k.a.find(id)
	if err != nil {
		return nil, err
	}
	return k.a.open(e)
}

// Change sets a field or adds a note.
func (k *keeper) Change(id, field, text string) error {
	change := func(r *record) {
		if field == "note" {
			r.Notes = append(r.Notes, report.Note{At: k.a.now().Round(time.Second), Text: text})
			return
		}
		if f := r.field(field); f != nil {
			*f = text
		}
	}
	e, err := k.a.find(id)
	if err != nil {
		return err
	}
	if e.path == k.st.at() {
		return k.st.change(change)
	}
	return k.a.edit(e, change)
}

// Export writes the report.
func (k *keeper) Export(id, form string) (string, error) {
	e, err := k.a.find(id)
	if err != nil {
		return "", err
	}
	return k.a.export(e, form)
}
