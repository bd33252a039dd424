package main

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"fishplate/diagnose/report"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
)

// fieldNames are the lines that people add to a record.
var fieldNames = []string{"name", "finder", "changed", "leads", "conditions", "repair", "open"}

// setFlag collects --set FIELD=TEXT.
type setFlag [][2]string

func (s *setFlag) String() string { return "" }

// Type is what the flag takes, for the library of flags.
func (s *setFlag) Type() string { return "field" }

// Set takes one field.
func (s *setFlag) Set(v string) error {
	name, text, ok := strings.Cut(v, "=")
	name = strings.ToLower(strings.TrimSpace(name))
	if !ok {
		return fmt.Errorf(`%q sets nothing; write for example --set repair="new insulating strip"`, v)
	}
	if (&record{}).field(name) == nil {
		if n := nearest(name, fieldNames); n != "" {
			return fmt.Errorf("a record has no field %q; did you mean %q?", name, n)
		}
		return fmt.Errorf("a record has no field %q; it has %s", name, strings.Join(fieldNames, ", "))
	}
	*s = append(*s, [2]string{name, strings.TrimSpace(text)})
	return nil
}

func (w commands) recordsCommand() *cobra.Command {
	var sets setFlag
	var note string
	var asJSON bool
	c := w.does(&cobra.Command{
		Use:   "records LAYOUT [RECORD [RECORD]]",
		Short: "the hunts of a layout, the newest first; one of them; two side by side",
		Long: "A RECORD is its number in the list, its date and number (2026-11-25-1), its name, or a file. " +
			"They can be read without the layout.",
		Example: "fishplate records shelf.hcl\nfishplate records shelf.hcl 1 --note \"strip was torn\" --set " +
			"repair=\"new strip\"",
	}, func(words []string) int { return w.records(words, sets, note, asJSON) })
	c.Flags().StringVar(&note, "note", "", "add a note: `TEXT`")
	c.Flags().Var(&sets, "set", "`FIELD=TEXT`, the field being one of "+strings.Join(fieldNames, ", "))
	c.Flags().BoolVar(&asJSON, "json", false, "for programs")
	var fields []string
	for _, f := range fieldNames {
		fields = append(fields, f+"=")
	}
	offer(c, "set", cobra.FixedCompletions(fields, cobra.ShellCompDirectiveNoFileComp|cobra.ShellCompDirectiveNoSpace))
	offer(c, "note", cobra.NoFileCompletions)
	return w.onLayout(c, true)
}

// records lists the hunts of a layout, shows one, adds to one, or sets two
// side by side.
func (w *world) records(words []string, sets setFlag, note string, asJSON bool) int {
	switch {
	case len(words) == 0:
		return w.usage("name the layout whose records you want", "")
	case len(words) > 3:
		return w.usage("two records at a time can be compared", "")
	case len(words) != 2 && (len(sets) > 0 || note != ""):
		return w.usage("say which record it goes to (1 is the newest)",
			`fishplate records LAYOUT 1 --note "was bad last year too"`)
	}
	a, err := w.archive(words[0])
	if err != nil {
		return w.refused(err)
	}
	switch len(words) {
	case 1:
		err = showing{w}.listRecords(a, asJSON)
	case 2:
		err = showing{w}.oneRecord(a, words[1], sets, note, asJSON)
	case 3:
		err = showing{w}.twoRecords(a, words[1], words[2], asJSON)
	}
	if err != nil {
		return w.refused(err)
	}
	return exitOK
}

// archive opens the records of a layout. They can be read without the layout:
// its file may be gone or hold mistakes by now.
func (w *world) archive(name string) (*archive, error) {
	if name == stdinName {
		return nil, errors.New("records lie beside a layout's file, so name the file")
	}
	a, err := newArchive(&source{name: name, demo: name == demoName})
	if err != nil {
		return nil, err
	}
	a.units = unitsOf(w.config())
	if name == demoName {
		src, err := w.load(name)
		if err != nil {
			return nil, err
		}
		a.src = src
	}
	said, err := a.migrate()
	if said != "" {
		fmt.Fprintf(w.err, "fishplate: %s\n", said)
	}
	if err != nil {
		fmt.Fprintf(w.err, "fishplate: %v\n", err)
	}
	a.load = func() (*source, error) { return w.load(name) }
	some, err := a.recent(1)
	if err == nil && len(some) == 0 {
		a.src, err = a.load()
	}
	return a, err
}

// layoutOf is the layout's file as it is now for a record that keeps no text of its
// own; nil where it is not wanted, or cannot be read.
func (a *archive) layoutOf(r *record) *track.Layout {
	if r.Layout.Text == "" && a.src.layout == nil && a.load != nil {
		if src, err := a.load(); err == nil {
			a.src = src
		}
		a.load = nil
	}
	return a.src.layout
}

// showing shows records, in words or as JSON.
type showing struct{ *world }

func (w showing) listRecords(a *archive, asJSON bool) error {
	all, err := a.list()
	if err != nil {
		return err
	}
	for i := range all {
		if all[i].rec != nil {
			a.refresh(&all[i])
		}
	}
	if asJSON {
		return encode(w.programs(), rowsOf(all))
	}
	if len(all) == 0 {
		return w.say("No hunt of %s is kept yet. One is, in %s, after its first answer.", a.src.name, a.dir)
	}
	var lines []string
	for i := range all {
		lines = append(lines, fmt.Sprintf("%d. %s", i+1, listed(&all[i])))
	}
	lines = append(lines, causes(all)...)
	lines = append(lines, fmt.Sprintf("Open one: fishplate records %s 1. Compare two: fishplate records %s 1 2. "+
		"Report: fishplate report %s 1 -o FILE.html", a.src.name, a.src.name, a.src.name))
	return w.say("%s", strings.Join(lines, "\n"))
}

// listed is a record in one line.
func listed(e *entry) string {
	if e.rec == nil {
		return fmt.Sprintf("%s: cannot be read: %v", e.id, e.err)
	}
	r, o := e.rec, &e.rec.Outcome
	s := e.id
	if r.Name != "" {
		s += " " + r.Name
	}
	what := symptomShort(o)
	if o.Piece != "" {
		what += ", " + o.Piece
	}
	return fmt.Sprintf("%s: %s, %s, %s, %s", s, what, o.State, unit.Count(o.Readings, "reading"),
		unit.FormatMinutes(o.Minutes))
}

func symptomShort(o *outcome) string {
	if o.Symptom == "" {
		return "no symptom"
	}
	if o.At != "" {
		return o.Symptom + " at " + o.At
	}
	return o.Symptom
}

// causes counts the pieces that were found bad more than once: where a fault
// was, one comes again.
func causes(all []entry) []string {
	count := map[string]int{}
	var order []string
	for i := range all {
		if all[i].rec == nil || all[i].rec.Outcome.Piece == "" {
			continue
		}
		p := all[i].rec.Outcome.Piece
		if count[p]++; count[p] == 2 {
			order = append(order, p)
		}
	}
	var out []string
	for _, p := range order {
		out = append(out, fmt.Sprintf("%s was bad in %d of these hunts.", p, count[p]))
	}
	return out
}

// row is a record in the list for programs.
type row struct {
	N       int        `json:"n"`
	ID      string     `json:"id"`
	Name    string     `json:"name,omitempty"`
	Began   *time.Time `json:"began,omitempty"`
	Saved   *time.Time `json:"saved,omitempty"`
	Finder  string     `json:"finder,omitempty"`
	File    string     `json:"file"`
	Error   string     `json:"error,omitempty"`
	Outcome *outcome   `json:"outcome,omitempty"`
}

func rowsOf(all []entry) any {
	rows := []row{}
	for i := range all {
		e := &all[i]
		r := row{N: i + 1, ID: e.id, File: e.path}
		if e.rec == nil {
			r.Error = e.err.Error()
		} else {
			r.Name, r.Finder, r.Outcome, r.Began, r.Saved = e.rec.Name, e.rec.Finder, &e.rec.Outcome, &e.rec.Began,
				&e.rec.Saved
		}
		rows = append(rows, r)
	}
	return struct {
		Records []row `json:"records"`
	}{rows}
}

func (w showing) oneRecord(a *archive, word string, sets setFlag, note string, asJSON bool) error {
	e, err := a.find(word)
	if err != nil {
		return err
	}
	if len(sets) > 0 || note != "" {
		err := a.edit(e, func(r *record) {
			for _, s := range sets {
				*r.field(s[0]) = s[1]
			}
			if note != "" {
				r.Notes = append(r.Notes, report.Note{At: a.now().Round(time.Second), Text: note})
			}
		})
		if err != nil {
			return err
		}
	}
	r, err := a.open(e)
	if err != nil {
		return err
	}
	if asJSON {
		return encode(w.programs(), r.Page())
	}
	return w.say("%s", strings.Join(r.Page().Text(), "\n"))
}

// open makes the report of a record.
func (a *archive) open(e *entry) (*report.Report, error) {
	if e.err != nil {
		return nil, fmt.Errorf("the record %s cannot be read: %w", e.id, e.err)
	}
	r, err := e.rec.report(e.id, a.layoutOf(e.rec), a.units)
	if err != nil {
		return nil, fmt.Errorf("the record %s cannot be shown: %w", e.id, err)
	}
	return r, nil
}

func (w showing) twoRecords(a *archive, first, second string, asJSON bool) error {
	var both [2]*report.Report
	for i, word := range []string{first, second} {
		e, err := a.find(word)
		if err == nil {
			both[i], err = a.open(e)
		}
		if err != nil {
			return err
		}
	}
	rows := report.Compare(both[0], both[1])
	if asJSON {
		return encode(w.programs(), struct {
			Rows []report.Row `json:"rows"`
		}{rows})
	}
	var lines []string
	for _, r := range rows {
		if r.Same {
			lines = append(lines, fmt.Sprintf("%s: both %s", r.Label, r.A))
			continue
		}
		lines = append(lines, fmt.Sprintf("%s: %s / %s", r.Label, orNone(r.A), orNone(r.B)))
	}
	return w.say("%s", strings.Join(lines, "\n"))
}

func orNone(s string) string {
	if s == "" {
		return "(not there)"
	}
	return s
}

// say prints a line or more.
func (w showing) say(format string, args ...any) error {
	_, err := fmt.Fprintf(w.out, format+"\n", args...)
	return err
}
