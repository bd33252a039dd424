package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"

	"fishplate/diagnose/health"
	"fishplate/diagnose/outside"
)

// healthFormat is the form of the file of health checks.
const healthFormat = 1

// mostKept is how many evenings are kept: the good ones at the beginning, which all are
// held against, and the newest.
const mostKept, firstKept = 200, 12

// healthBook is all evenings of one layout, kept beside its file.
type healthBook struct {
	Format   int         `json:"fishplate_health"`
	Volts    float64     `json:"volts"` // of the battery
	Amps     float64     `json:"amps"`  // of the lamp
	Plan     health.Plan `json:"plan"`
	Evenings []keptNight `json:"evenings"`

	fresh bool // not on the disk yet
}

// keptNight is one evening as typed.
type keptNight struct {
	At     time.Time `json:"at"`
	Showed []string  `json:"showed"`
}

func healthPath(src *source) (string, error) {
	if !src.demo {
		return src.name + ".health.json", nil
	}
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", fmt.Errorf("there is no folder to keep the evenings in: %w", err)
	}
	return filepath.Join(dir, "fishplate", "demo.health.json"), nil
}

// readHealth reads what is kept; nil where there is nothing.
func readHealth(path string) (*healthBook, error) {
	data, err := readOutside(path, outside.Health)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	b := &healthBook{}
	if err == nil {
		err = outside.Health.Decode(data, b)
	}
	if err == nil {
		err = b.check()
	}
	if err != nil {
		return nil, fmt.Errorf("the evenings in %s cannot be read: %w; move that file away to begin anew", path, err)
	}
	return b, nil
}

// check refuses what no health check of this program can have written.
func (b *healthBook) check() error {
	switch {
	case b.Format != healthFormat:
		return errors.New("it is of another fishplate")
	case len(b.Evenings) == 0 || len(b.Evenings) > mostKept:
		return fmt.Errorf("it has %d evenings, and may have 1 to %d", len(b.Evenings), mostKept)
	case !(b.Volts > 0 && b.Volts <= 48) || !(b.Amps > 0 && b.Amps <= 20):
		return fmt.Errorf("a lamp of %g A on %g V cannot be", b.Amps, b.Volts)
	}
	for i := range b.Evenings {
		if len(b.Evenings[i].Showed) != len(b.Plan.Readings) {
			return fmt.Errorf("evening %d has %d readings, and the check has %d", i+1, len(b.Evenings[i].Showed),
				len(b.Plan.Readings))
		}
	}
	return nil
}

func (b *healthBook) write(path string) error {
	data, err := json.MarshalIndent(b, "", " ")
	if err == nil {
		err = writeFile(path, append(data, '\n'))
	}
	if err != nil {
		return fmt.Errorf("the evening could not be kept in %s: %w", path, err)
	}
	b.fresh = false
	return nil
}

// alike says whether two books are of one check: the same readings behind the same
// lamp.
func (b *healthBook) alike(o *healthBook) bool {
	return b.Volts == o.Volts && b.Amps == o.Amps && slices.EqualFunc(b.Plan.Readings, o.Plan.Readings,
		func(x, y health.Reading) bool {
			return fmt.Sprint(x) == fmt.Sprint(y)
		})
}

// add appends an evening; where there are too many one from the middle goes.
func (b *healthBook) add(at time.Time, showed []string) {
	if len(b.Evenings) >= mostKept {
		b.Evenings = append(b.Evenings[:firstKept], b.Evenings[firstKept+1:]...)
	}
	b.Evenings = append(b.Evenings, keptNight{at, showed})
}

// read understands what was typed.
func (b *healthBook) read() ([]health.Evening, error) {
	var out []health.Evening
	for i := range b.Evenings {
		var e health.Evening
		for _, text := range b.Evenings[i].Showed {
			s, err := health.Read(text)
			if err != nil {
				return nil, fmt.Errorf("evening %d: %w", i+1, err)
			}
			e = append(e, s)
		}
		out = append(out, e)
	}
	return out, nil
}

// last is what a reading showed on the last evening, nil before there was one.
func (b *healthBook) last(k int) *health.Shown {
	if len(b.Evenings) == 0 {
		return nil
	}
	s, err := health.Read(b.Evenings[len(b.Evenings)-1].Showed[k])
	if err != nil {
		return nil
	}
	return &s
}

// when names an evening by its day.
func (b *healthBook) when(i int) string {
	day := b.Evenings[i].At.Format(time.DateOnly)
	if i == 0 {
		return "the baseline of " + day
	}
	return fmt.Sprintf("evening %d, %s", i+1, day)
}

// programs prints all for programs.
func (e *evening) programs() int {
	type part struct {
		health.Part
		Share float64 `json:"share,omitempty"`
	}
	type night struct {
		At     time.Time `json:"at"`
		Showed []string  `json:"showed"`
		health.Verdict
		Since string `json:"since,omitempty"`
		Parts []part `json:"parts,omitempty"`
	}
	out := struct {
		Layout   string        `json:"layout"`
		Volts    float64       `json:"battery_volts"`
		Amps     float64       `json:"lamp_amps"`
		Plan     health.Plan   `json:"plan"`
		Parts    []health.Part `json:"parts"`
		Unseen   health.Part   `json:"not_watched"`
		Cautions []string      `json:"cautions"`
		Evenings []night       `json:"evenings"`
	}{e.src.layout.Name, e.book.Volts, e.book.Amps, e.book.Plan, e.check.Parts, e.check.Unseen,
		e.check.Cautions(), []night{}}
	for i := range e.book.Evenings {
		n := night{At: e.book.Evenings[i].At, Showed: e.book.Evenings[i].Showed, Verdict: e.past.Verdicts[i]}
		if v := &n.Verdict; !v.Quiet {
			n.Since = e.book.Evenings[v.Since].At.Format(time.DateOnly)
			for k, p := range v.Parts {
				n.Parts = append(n.Parts, part{e.check.Parts[p], v.Shares[k]})
			}
		}
		out.Evenings = append(out.Evenings, n)
	}
	if err := encode(e.w.programs(), out); err != nil {
		return e.w.fail(err)
	}
	return exitOK
}
