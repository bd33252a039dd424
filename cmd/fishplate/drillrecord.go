package main

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"fishplate/diagnose/drill/debrief"
	"fishplate/diagnose/drill/lesson"
	"fishplate/diagnose/drill/sitting"
	"fishplate/diagnose/outside"
)

// recordsPath is where records of drills are kept.
func (a *drillArgs) recordsPath() (string, error) {
	if a.records != "" {
		return a.records, nil
	}
	return drillFile("drill-records.json")
}

// record looks back on a drill and keeps what is to be kept.
func (a *drillArgs) record(s *sitting.Sitting) (*debrief.Debrief, error) {
	b := debrief.Make(s)
	path, err := a.recordsPath()
	if err != nil {
		return b, err
	}
	return b, addRecord(path, b.Record(a.learner, time.Now().Format(time.DateOnly)))
}

// addRecord puts a record into a file that many may write to: one at a time.
func addRecord(path string, r debrief.Record) error {
	return oneAtATime("file of records", path, func() error {
		data, err := readOutside(path, outside.Drills)
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("could not read the records: %w", err)
		}
		out, err := debrief.Add(data, r)
		if err != nil {
			return fmt.Errorf("%s: %w", path, err)
		}
		return writeFile(path, out)
	})
}

// readRecords gives the records that are kept.
func (a *drillArgs) readRecords() ([]debrief.Record, error) {
	path, err := a.recordsPath()
	if err != nil {
		return nil, err
	}
	data, err := readOutside(path, outside.Drills)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("could not read the records: %w", err)
	}
	list, err := debrief.Read(data)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return list, nil
}

// debrief shows the look back line by line.
func (p *drillSession) debrief() {
	b, err := p.keeper.finish(p.s)
	for _, l := range b.Lines(78) {
		p.say("%s", l.Text)
	}
	if l := p.t.lesson; l != nil && b.Passed {
		if names, err := lesson.Names(lesson.Own()); err == nil && p.t.name == strconv.Itoa(l.Number) &&
			l.Number < len(names) {
			p.say("")
			p.say("The next one: fishplate drill --plain --lesson %d", l.Number+1)
		}
	}
	if err != nil {
		p.say("Warning: %v. This drill is not on record.", err)
		if p.keeper.saved {
			p.say("It is kept in %s: put that right and type: fishplate drill --plain --resume%s", p.keeper.path,
				p.keeper.words())
		}
	}
}

// drillProgress shows the records, or writes them as a class sheet.
func drillProgress(w *world, a *drillArgs) int {
	list, err := a.readRecords()
	if err != nil {
		return w.fail(err)
	}
	if own := debrief.Of(list, a.learner); a.learner != "" && len(own) == 0 && len(list) > 0 {
		return w.fail(fmt.Errorf("no drill of %s is on record; leave --name out to see all of them", a.learner))
	}
	list = debrief.Of(list, a.learner)
	if a.sheet == "" {
		return w.print(strings.Join(debrief.Progress(list), "\n") + "\n")
	}
	text, form := "", "html"
	switch strings.ToLower(filepath.Ext(a.sheet)) {
	case ".md":
		text, form = debrief.Markdown(list), "md"
	case ".html", ".htm":
		text = debrief.HTML(list)
	default:
		return w.usage("--sheet takes a file that ends in .md or .html, not "+a.sheet,
			"fishplate drill --sheet class.html")
	}
	if len(list) == 1 {
		return w.deliver(text, form, a.sheet, "1 drill is on %s")
	}
	return w.deliver(text, form, a.sheet, fmt.Sprintf("%d drills are on %%s", len(list)))
}
