package main

import (
	"errors"
	"fmt"
	"hash/fnv"
	"math"
	"os"
	"path/filepath"
	"strings"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/diagnose/trial"
	"fishplate/layoutfile"
)

const partsLegend = `One fault of each kind, hidden on a layout of testdata that has the part,
and hunted from what is seen.
right: of the hunts, how many named the part among their first three. looks: things looked at until it was found.
minutes: until things are named; total: until it is found.
`

// rightBy is the place on the first list by which a hunt counts as ended at
// the right part.
const rightBy = 3

// kindsTable hunts every row of parts.
func kindsTable(o *options) error {
	dir, err := layoutsFolder()
	if err != nil {
		return err
	}
	fmt.Fprint(o.out, partsLegend)
	fmt.Fprintf(o.out, "%-25s %-46s %-17s %-30s | %5s %8s %5s %7s %6s %5s\n", "part", "fault", "layout", "seen",
		"right", "readings", "lifts", "minutes", "total", "looks")
	right, hunts := 0, 0
	var failed []error
	for i := range parts {
		p := &parts[i]
		if o.only != "" && !strings.Contains(p.group+": "+p.fault, o.only) {
			continue
		}
		got, err := o.huntPart(dir, p, p.salt())
		if err != nil {
			failed = append(failed, fmt.Errorf("%s, %s: %w", p.group, p.fault, err))
			continue
		}
		s, n := mean(got, ours), 0
		for k := range got {
			if endedRight(&got[k].ours) {
				n++
			}
		}
		right, hunts = right+n, hunts+len(got)
		fmt.Fprintf(o.out, "%-25s %-46s %-17s %-30s | %2d/%-2d %8.1f %5.1f %7.1f %6.1f %5.1f\n", p.group, p.fault,
			p.layout, strings.TrimSpace(string(p.symptom)+" "+p.at),
			n, len(got), s.readings, s.lifts, s.minutes, s.total, s.looks)
	}
	fmt.Fprintf(o.out, "\n%d of %d hunts ended at the right part\n", right, hunts)
	return errors.Join(failed...)
}

// endedRight says whether a hunt ended at the right part.
func endedRight(r *trial.Result) bool { return r.Found && r.Rank >= 1 && r.Rank <= rightBy }

// layoutsFolder finds testdata/layouts here or above.
func layoutsFolder() (string, error) {
	dir, err := os.Getwd()
	if err != nil {
		return "", err
	}
	for {
		at := filepath.Join(dir, "testdata", "layouts")
		if s, err := os.Stat(at); err == nil && s.IsDir() {
			return at, nil
		}
		up := filepath.Dir(dir)
		if up == dir {
			return "", fmt.Errorf("there is no testdata/layouts here or above: run this inside the project")
		}
		dir = up
	}
}

func partLayout(dir, name string) (*track.Layout, error) {
	at := filepath.Join(dir, name+".hcl")
	text, err := os.ReadFile(at)
	if err != nil {
		return nil, err
	}
	f, problems := layoutfile.Read(at, text)
	if f == nil || problems.Errors() {
		return nil, fmt.Errorf("%s has problems: %v", at, problems)
	}
	return f.Layout, nil
}

// suspect finds the suspect that a row names.
func (p *part) suspect(n *conductor.Network) (fault.Suspect, error) {
	k := 0
	for _, s := range fault.List(n) {
		if s.Mode != p.mode || s.Place != p.place || p.rail != "" && s.Rail != p.rail {
			continue
		}
		if k == p.nth {
			return s, nil
		}
		k++
	}
	return fault.Suspect{}, fmt.Errorf("no suspect is %s at %s %s", p.mode, p.place, p.rail)
}

// salt makes the draws of a row its own, whatever rows stand before it.
func (p *part) salt() uint64 {
	h := fnv.New32a()
	h.Write([]byte(p.group + p.fault + p.layout + p.at))
	return uint64(h.Sum32() % 4096)
}

// hidden puts the row's fault into a field.
func (p *part) hidden(f *trial.Field, seed uint64) (*trial.Hidden, error) {
	s := f.Suspects[0]
	x := simulate.Fault{Suspect: s, Ohms: p.ohms, Position: 0.4}
	if x.Ohms == 0 && s.MaxOhms > 0 {
		x.Ohms = math.Sqrt(s.MinOhms * s.MaxOhms)
	}
	return f.Hide(x, hunt.Symptom{Kind: p.symptom, At: p.at}, p.thrown, seed)
}

// huntPart hunts one row o.n times, each time on track drawn anew.
func (o *options) huntPart(dir string, p *part, salt uint64) ([]one, error) {
	l, err := partLayout(dir, p.layout)
	if err != nil {
		return nil, err
	}
	n, err := conductor.Build(l)
	if err != nil {
		return nil, err
	}
	want, err := p.suspect(n)
	if err != nil {
		return nil, err
	}
	kit, m := instruments(or(o.meters, usualMeters)[0], o.bisect)
	if p.beeper {
		kit = hunt.Kit{Beeper: true}
	}
	f, err := trial.NewField(trial.Setting{Layout: l, Kit: kit, Meter: m, LampSD: 0.04},
		func(_ *trial.Field, s *fault.Suspect) bool {
			return s.ID == want.ID
		})
	if err != nil {
		return nil, err
	}
	r := newRow(o, f, salt)
	r.beside = false
	r.draw = func(k int) (*trial.Hidden, error) { return p.hidden(f, o.seed<<32+salt<<20+uint64(k)) }
	if err := r.run(o.n); err != nil {
		return nil, err
	}
	return r.all, nil
}
