package main

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/outside"
	"fishplate/diagnose/report"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"
	"fishplate/tui/draw"
)

// record is what one file of a hunt holds: the hunt's own journal, the layout
// as it was, and what people add. It can be read without the layout's file.
type record struct {
	Format     int           `json:"fishplate_record"`
	Name       string        `json:"name,omitempty"`
	Began      time.Time     `json:"began"`
	Saved      time.Time     `json:"saved"`
	Spent      float64       `json:"spent_minutes"`
	Finder     string        `json:"finder,omitempty"`
	Changed    string        `json:"last_change,omitempty"`
	Leads      string        `json:"leads,omitempty"`
	Conditions string        `json:"conditions,omitempty"`
	Repair     string        `json:"repair,omitempty"`
	Open       string        `json:"still_open,omitempty"`
	Notes      []report.Note `json:"notes,omitempty"`
	Layout     keptLayout    `json:"layout"`
	// Outcome is worked out from Hunt and kept beside it, so that a list of
	// records need not work out every belief again.
	Outcome outcome         `json:"outcome"`
	Hunt    json.RawMessage `json:"hunt"`
}

// keptLayout is the layout's file as it was during the hunt.
type keptLayout struct {
	Name     string    `json:"name"`
	File     string    `json:"file,omitempty"`
	Stamp    string    `json:"state,omitempty"`
	Modified time.Time `json:"modified"`
	Text     string    `json:"text,omitempty"`
}

// outcome is a hunt in a few words.
type outcome struct {
	Events   int          `json:"events"` // length of the journal it was worked out from
	State    report.State `json:"state"`
	Symptom  string       `json:"symptom,omitempty"`
	At       string       `json:"at,omitempty"`
	Piece    string       `json:"piece,omitempty"`
	Verdict  string       `json:"verdict,omitempty"`
	Readings int          `json:"readings"`
	Lifts    int          `json:"lifts"`
	Minutes  float64      `json:"minutes"`
	// Track is what the hunt learned of the layout's resistances, for the next.
	Track hunt.Track `json:"track,omitzero"`
}

const recordFormat = 1

// readRecord understands a record and also a bare hunt, as it was kept before
// there were records.
func readRecord(data []byte) (*record, error) {
	kind := struct {
		Record int `json:"fishplate_record"`
		Hunt   int `json:"fishplate_hunt"`
	}{}
	if err := outside.Record.Decode(data, &kind); err != nil {
		return nil, fmt.Errorf("it is no saved hunt: %w", err)
	}
	r := &record{}
	switch {
	case kind.Record > recordFormat:
		return nil, errors.New("it was written by a newer fishplate: use that one")
	case kind.Record == recordFormat:
		if err := json.Unmarshal(data, r); err != nil {
			return nil, fmt.Errorf("it is damaged: %w", err)
		}
		if len(r.Hunt) == 0 {
			return nil, errors.New("it is damaged: there is no hunt in it")
		}
		if err := r.check(); err != nil {
			return nil, fmt.Errorf("it is damaged: %w", err)
		}
	case kind.Hunt > 0:
		r.Format, r.Hunt = recordFormat, data
		name := struct {
			Layout string `json:"layout"`
		}{}
		_ = json.Unmarshal(data, &name) // a name that cannot be read stays empty
		r.Layout.Name = name.Layout
	default:
		return nil, errors.New("it is no saved hunt")
	}
	return r, nil
}

// check refuses figures that cannot be, and puts every text on one line: they
// are shown in lists, where a line of their own would pass for one of ours.
func (r *record) check() error {
	const most = 1e7 // minutes, twenty years
	o := &r.Outcome
	for _, x := range []float64{r.Spent, o.Minutes, float64(o.Readings), float64(o.Lifts), float64(o.Events)} {
		if !(x >= 0 && x <= most) {
			return fmt.Errorf("%g minutes, readings or lifts cannot be", x)
		}
	}
	if err := o.Track.Check(); err != nil {
		return err
	}
	texts := []*string{&r.Name, &r.Finder, &r.Changed, &r.Leads, &r.Conditions, &r.Repair, &r.Open, &r.Layout.Name,
		&r.Layout.File, &r.Layout.Stamp,
		(*string)(&o.State), &o.Symptom, &o.At, &o.Piece, &o.Verdict}
	for i := range r.Notes {
		texts = append(texts, &r.Notes[i].Text)
	}
	for _, t := range texts {
		*t = outside.Line(*t)
	}
	return nil
}

func (r *record) bytes() ([]byte, error) {
	data, err := json.MarshalIndent(r, "", " ")
	if err != nil {
		return nil, err
	}
	return append(data, '\n'), nil
}

// stampOf tells two states of a layout's text apart.
func stampOf(text []byte) string {
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:4])
}

// kept is a layout as it is now, for a record.
func (s *source) kept() keptLayout {
	k := keptLayout{Name: s.layout.Name, Stamp: stampOf(s.text), Text: string(s.text)}
	if !s.demo {
		k.File = filepath.Base(s.name)
		if info, err := os.Stat(s.name); err == nil {
			k.Modified = info.ModTime().Round(time.Second)
		}
	}
	return k
}

// built is the layout that a record was made on: the one kept in it, else the
// one given.
func (r *record) built(now *track.Layout) (*track.Layout, error) {
	if r.Layout.Text == "" {
		if now == nil {
			return nil, errors.New("it does not hold the layout it was made on")
		}
		return now, nil
	}
	name := r.Layout.File
	if name == "" {
		name = r.Layout.Name
	}
	file, problems := layoutfile.Read(name, []byte(r.Layout.Text))
	if problems.Errors() || file == nil {
		return nil, fmt.Errorf("the layout kept in it cannot be read: %w", problems)
	}
	return file.Layout, nil
}

// kit is what the hunt was begun with.
func (r *record) kit() (hunt.Kit, bool) {
	old := struct {
		Kit *hunt.Kit `json:"kit"`
	}{}
	if json.Unmarshal(r.Hunt, &old) != nil || old.Kit == nil {
		return hunt.Kit{}, false
	}
	return *old.Kit, true
}

// events is the length of the journal.
func (r *record) events() int {
	j := struct {
		Journal []json.RawMessage `json:"journal"`
	}{}
	_ = json.Unmarshal(r.Hunt, &j) // what cannot be read has no events
	return len(j.Journal)
}

// replay takes the hunt of a record up, to look at it.
func (r *record) replay(now *track.Layout) (*track.Layout, *hunt.Hunt, error) {
	l, err := r.built(now)
	if err != nil {
		return nil, nil, err
	}
	kit, _ := r.kit()
	h, err := hunt.Resume(l, kit, r.Hunt)
	return l, h, err
}

// report makes the report of a record.
func (r *record) report(id string, now *track.Layout, units string) (*report.Report, error) {
	l, h, err := r.replay(now)
	if err != nil {
		return nil, err
	}
	kit, _ := r.kit()
	f := report.Facts{ID: id, Name: r.Name, Began: r.Began, Ended: r.Saved, Spent: r.Spent, Finder: r.Finder,
		File: r.Layout.File, Stamp: r.Layout.Stamp,
		Modified: r.Layout.Modified, Changed: r.Changed, Leads: r.Leads, Conditions: r.Conditions, Repair: r.Repair,
		Open: r.Open, Notes: r.Notes, Units: units}
	v := h.View()
	f.MapText = mapText(l, &v)
	return report.New(l, h, kit, f), nil
}

// mapText draws the map in 7-bit characters, with its key.
func mapText(l *track.Layout, v *hunt.View) string {
	const w, h = 78, 22
	look := draw.Look{ASCII: true, Levels: draw.Levels(v.Pieces), Chosen: -1, Names: true}
	for i := range v.Ranked {
		if p := l.FindPiece(v.Ranked[i].Piece); p >= 0 && len(look.Ranks) < 3 {
			look.Ranks = append(look.Ranks, p)
		}
	}
	g := draw.Plan(l, w, h, draw.Fit(l, w, h), look)
	var out []string
	for _, line := range strings.Split(strings.TrimRight(g.String(), "\n"), "\n") {
		out = append(out, strings.TrimRight(line, " "))
	}
	for _, k := range g.Keys {
		out = append(out, k.Letter+" = "+k.Name)
	}
	return strings.Trim(strings.Join(out, "\n"), "\n")
}

// plainMap is the map with nothing suspected on it.
func plainMap(l *track.Layout) string {
	return mapText(l, &hunt.View{Pieces: make([]float64, len(l.Pieces))})
}

// outcomeOf puts a view into a few words.
func outcomeOf(v *hunt.View, past []hunt.Past, events int) outcome {
	o := outcome{Events: events, State: report.StateOf(v), Readings: v.Readings, Lifts: v.Lifts, Minutes: v.Minutes}
	if v.Symptom != nil {
		o.Symptom, o.At = string(v.Symptom.Kind), report.At(v.LayoutRef, v.Symptom)
	}
	for i := range past {
		if past[i].Kind == hunt.PastBad && !past[i].Aside {
			o.Piece = past[i].Text
		}
	}
	if v.Step.Done != nil {
		o.Verdict = v.Step.Done.Verdict
	}
	if v.Learned != nil {
		o.Track = *v.Learned
	}
	return o
}

// field is one of the lines that people add to a record.
func (r *record) field(name string) *string {
	switch name {
	case "name":
		return &r.Name
	case "finder":
		return &r.Finder
	case "changed":
		return &r.Changed
	case "leads":
		return &r.Leads
	case "conditions":
		return &r.Conditions
	case "repair":
		return &r.Repair
	case "open":
		return &r.Open
	}
	return nil
}
