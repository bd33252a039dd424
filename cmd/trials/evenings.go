package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"

	"fishplate/diagnose/track"
	"fishplate/diagnose/trial"
)

const eveningLegend = `Every hunt is played on a bench where hands do each step as it is said, with lamps that are
filaments; see diagnose/internal/bench.
first, two: the truth was first, or among the first two, of the first list (percent). found: in the end.
>0.9: looks that were claimed with more than 0.9, how many of those pieces were good, and how many the claims
themselves say (the sum of what they leave to other places).
engine: hunts with an engine left on, in how many of them the first list names one, and in how many hunts
without one it does too. stated: the mean chance given to the first piece of the first list.
hazards: hunts with something that could hurt or burn. stuck: hunts stopped by a step that hands could not do.
cpu: processor seconds a hunt.
`

// evenings plays n hunts, several at a time; what they find does not depend on
// how many.
func (o *options) evenings(draw func(seed uint64) (*trial.Evening, error)) (
	all []*trial.Evening, stuck []error, cpu float64, err error,
) {
	all, stuck = make([]*trial.Evening, o.n), make([]error, o.n)
	errs := make([]error, o.n)
	begin := processor()
	next := make(chan int)
	var wg sync.WaitGroup
	for range min(o.workers, o.n) {
		wg.Go(func() {
			for k := range next {
				if all[k], errs[k] = draw(o.seed<<32 + uint64(k)); errs[k] == nil {
					stuck[k] = all[k].Hunt()
				}
			}
		})
	}
	for k := range o.n {
		next <- k
	}
	close(next)
	wg.Wait()
	return all, stuck, (processor() - begin) / float64(o.n), errors.Join(errs...)
}

// eveningRow is what is counted of a row.
type eveningRow struct {
	readings, stated, doubt        float64
	first, two, found              int
	claims, wrong, hazard          int
	engines, named, falsely, stuck int
	n                              int
}

func countEvenings(all []*trial.Evening, stuck []error) eveningRow {
	r := eveningRow{n: len(all)}
	for k, e := range all {
		r.readings += float64(e.Readings) / float64(len(all))
		if e.Rank == 1 {
			r.first++
		}
		if e.Rank == 1 || e.Rank == 2 {
			r.two++
		}
		if e.Found {
			r.found++
		}
		r.claims += e.Claims
		r.wrong += e.Wrong
		r.doubt += e.Doubt
		r.stated += e.Stated / float64(len(all))
		switch {
		case e.Engine && e.Named:
			r.named++
		case e.Named:
			r.falsely++
		}
		if e.Engine {
			r.engines++
		}
		if len(e.Bench.Hazards()) > 0 {
			r.hazard++
		}
		if stuck[k] != nil {
			r.stuck++
		}
	}
	return r
}

func (o *options) printEvenings(where, what string, all []*trial.Evening, stuck []error, cpu float64) {
	r := countEvenings(all, stuck)
	share := func(k int) float64 { return 100 * float64(k) / float64(r.n) }
	engine := fmt.Sprintf("%d/%d, %d", r.named, r.engines, r.falsely)
	fmt.Fprintf(o.out, "%-10s %-32s %8.2f %5.0f %6.0f %5.0f %5.0f  %3d, %2d (%4.1f) %10s %7d %5d %6.2f\n", where, what,
		r.readings, share(r.first), 100*r.stated, share(r.two), share(r.found), r.claims, r.wrong, r.doubt, engine,
		r.hazard, r.stuck, cpu)
	o.printLogs(all, stuck)
}

// printLogs prints every hunt, where that is asked for.
func (o *options) printLogs(all []*trial.Evening, stuck []error) {
	for k, e := range all {
		if !o.log {
			return
		}
		fmt.Fprintf(o.out, "    hunt %d: %s; %d readings, place %d on the list, stated %.2f\n",
			k+1, e, e.Readings, e.Rank, e.Stated)
		for _, line := range slices.Concat(e.Log, e.Apart) {
			fmt.Fprintln(o.out, "      "+line)
		}
		if stuck[k] != nil {
			fmt.Fprintln(o.out, "      STUCK:", stuck[k])
		}
	}
}

const eveningHead = "%-10s %-32s %8s %5s %6s %5s %5s  %14s %10s %7s %5s %6s\n"

// lampLayouts are those of the table of lamps.
func lampLayouts() ([]string, map[string]*track.Layout, error) {
	names := []string{"loop 40", "loop 200", "demo", "yard 40"}
	out := map[string]*track.Layout{}
	for _, x := range []struct {
		name, shape string
		pieces      int
	}{{"loop 40", "loop", 40}, {"loop 200", "loop", 200}, {"yard 40", "yard", 40}} {
		l, err := shaped(x.shape, x.pieces, trial.Build{})
		if err != nil {
			return nil, nil, err
		}
		out[x.name] = l
	}
	l, err := demo()
	if err != nil {
		return nil, nil, err
	}
	out["demo"] = l
	return names, out, nil
}

// lampTable is shorts with a lamp that nobody knows, and with hands and handles
// as they are.
func lampTable(o *options) error {
	names, layouts, err := lampLayouts()
	if err != nil {
		return err
	}
	fmt.Fprint(o.out, eveningLegend)
	fmt.Fprintf(o.out, eveningHead,
		"layout", "row", "readings", "first", "stated", "two", "found", ">0.9", "engine", "hazards", "stuck", "cpu")
	kit, m := instruments(or(o.meters, usualMeters)[0], o.bisect)
	for _, name := range names {
		f, err := trial.NewField(trial.Setting{Layout: layouts[name]}, nil)
		if err != nil {
			return err
		}
		for _, r := range trial.LampRows {
			if !o.wanted(name, r.Name) {
				continue
			}
			draw := func(seed uint64) (*trial.Evening, error) { return r.Draw(f, m, kit, seed) }
			all, stuck, cpu, err := o.evenings(draw)
			if err != nil {
				return err
			}
			o.printEvenings(name, r.Name, all, stuck, cpu)
		}
	}
	return nil
}

// wanted says whether a row has the words that -only asks for.
func (o *options) wanted(words ...string) bool {
	return strings.Contains(strings.Join(words, ": "), o.only)
}
