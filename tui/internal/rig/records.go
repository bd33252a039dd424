package rig

import (
	"errors"
	"fmt"
	"time"

	"fishplate/diagnose/report"
	"fishplate/tui/record"
)

// Records keeps three invented hunts in memory, the last of them damaged.
type Records struct {
	Reports []*report.Report
	Written []string // "ID form", one for every report written
}

// NewRecords makes them.
func NewRecords() *Records {
	day := time.Date(2026, 3, 1, 20, 15, 0, 0, time.UTC)
	a := &report.Report{Facts: report.Facts{ID: "2026-03-01-2", Began: day, Ended: day.Add(40 * time.Minute),
		Finder: "Ada", Repair: "new insulating strip"},
		Layout: "test oval", Build: "41 pieces, 2 runs, 2 feeders, 1 supply", State: report.Proven,
		Symptom: "the breaker trips at once", Meter: "beeper, ohms",
		Verdict: "the fault was found at main 33, and the proof reading is good",
		Piece:   "main 33", Cause: "the insulating strip has slipped", Minutes: 12, Lifts: 2,
		Counted: "2 readings", Readings: []report.Reading{{N: 1, Function: "beeper", Red: "T1 hot", Black: "T1 common",
			Loaded: "supply off", Shown: "beep", Said: "most likely in main 1 to 40"},
			{N: 2, Function: "ohms", Red: "main 20/21 center", Black: "main 20/21 left", Loaded: "supply off",
				Shown: "OL", Said: "most likely in main 21 to 40"}}}
	b := &report.Report{Facts: report.Facts{ID: "2026-03-01-1", Name: "after the move", Began: day.Add(-2 * time.Hour)},
		Layout: "test oval", Build: "41 pieces, 2 runs, 2 feeders, 1 supply", State: report.Open,
		Symptom: "trains slow down or stall at one place", At: "main 7", Meter: "beeper, ohms", Minutes: 3,
		Counted: "1 reading", Readings: []report.Reading{{N: 1, Function: "beeper", Red: "T1 hot", Black: "T1 common",
			Loaded: "supply off", Shown: "no", Said: "most likely in main 7"}}}
	return &Records{Reports: []*report.Report{a, b}}
}

// List implements record.Keeper.
func (r *Records) List() ([]record.Entry, error) {
	var out []record.Entry
	for i, p := range r.Reports {
		out = append(out, record.Entry{ID: p.ID, Name: p.Name, Symptom: p.Symptom, Piece: p.Piece,
			State: string(p.State), Effort: fmt.Sprintf("%d readings, %g min", len(p.Readings), p.Minutes),
			Current: i == 0})
	}
	return append(out, record.Entry{ID: "2025-12-24-1", Broken: "it is no saved hunt"}), nil
}

// Open implements record.Keeper.
func (r *Records) Open(id string) (*report.Report, error) {
	for _, p := range r.Reports {
		if p.ID == id {
			return p, nil
		}
	}
	return nil, errors.New("the record " + id + " cannot be read: it is no saved hunt")
}

// Change implements record.Keeper.
func (r *Records) Change(id, field, text string) error {
	p, err := r.Open(id)
	if err != nil {
		return err
	}
	switch field {
	case "note":
		p.Notes = append(p.Notes, report.Note{At: p.Began, Text: text})
	case "repair":
		p.Repair = text
	case "name":
		p.Name = text
	}
	return nil
}

// Export implements record.Keeper.
func (r *Records) Export(id, form string) (string, error) {
	if _, err := r.Open(id); err != nil {
		return "", err
	}
	r.Written = append(r.Written, id+" "+form)
	return "/home/ada/oval.hcl." + id + "." + form, nil
}
