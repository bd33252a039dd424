package main

import (
	"errors"
	"fmt"
	"runtime"
	"sync"
	"time"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/diagnose/trial"
	"fishplate/layoutfile"
)

// layoutOf reads the text of an invented layout.
func layoutOf(text string) (*track.Layout, error) {
	f, problems := layoutfile.Read("invented", []byte(text))
	if f == nil || problems.Errors() {
		return nil, fmt.Errorf("an invented layout has problems: %v", problems)
	}
	return f.Layout, nil
}

// shaped is an invented layout by its name and size.
func shaped(shape string, pieces int, b trial.Build) (*track.Layout, error) {
	text, err := trial.Shape(shape, pieces, b)
	if err != nil {
		return nil, err
	}
	return layoutOf(text)
}

// instruments are the kit that the hunter is told of and the meter that reads.
func instruments(meter string, bisect bool) (hunt.Kit, simulate.Meter) {
	k := hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true, Meter: meter, Bisect: bisect}
	if meter == "good" {
		return k, simulate.GoodMeter()
	}
	return k, simulate.CheapMeter()
}

// one is one hunt with what stands beside it.
type one struct {
	ours, murray trial.Result
	hasMurray    bool
	seconds      float64
	err          error
}

// row runs n hunts of a field, several at a time. What they find does not
// depend on how many.
type row struct {
	o      *options
	f      *trial.Field
	draw   func(k int) (*trial.Hidden, error)
	beside bool // run the ratio too
	first  bool // end with the first list of pieces, the bad one found or not
	all    []one
	bytes  uint64 // allocated in all
}

func newRow(o *options, f *trial.Field, salt uint64) *row {
	r := &row{o: o, f: f, beside: true}
	r.draw = func(k int) (*trial.Hidden, error) { return f.Draw(o.seed<<32 + salt<<20 + uint64(k)) }
	return r
}

func (r *row) run(n int) error {
	r.all = make([]one, n)
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	next := make(chan int)
	var wg sync.WaitGroup
	for range min(r.o.workers, n) {
		wg.Go(func() {
			for k := range next {
				r.all[k] = r.once(k)
			}
		})
	}
	for k := range n {
		next <- k
	}
	close(next)
	wg.Wait()
	runtime.ReadMemStats(&after)
	r.bytes = after.TotalAlloc - before.TotalAlloc
	var errs []error
	for k := range r.all {
		errs = append(errs, r.all[k].err)
	}
	if err := errors.Join(errs...); err != nil {
		return err
	}
	if r.o.log {
		r.print()
	}
	return nil
}

// once hunts one hidden fault, each time drawn anew from the same seed.
func (r *row) once(k int) (x one) {
	hidden, err := r.draw(k)
	if err != nil {
		x.err = err
		return x
	}
	if r.o.spice {
		if hidden.Exact, x.err = exact(r.f, hidden); x.err != nil {
			return x
		}
	}
	start := time.Now()
	x.ours, x.err = r.f.Hunt(hidden, !r.first)
	x.seconds = time.Since(start).Seconds()
	if x.err != nil || !r.beside || r.o.spice {
		return x
	}
	if hidden, x.err = r.draw(k); x.err == nil {
		x.murray, x.hasMurray, x.err = r.f.Murray(hidden)
	}
	return x
}

func (r *row) print() {
	for k := range r.all {
		hidden, err := r.draw(k)
		if err != nil {
			continue
		}
		x := &r.all[k].ours
		fmt.Fprintf(r.o.out, "    hunt %d: %s, %.3g ohm; place %d on the list, stated %.2f, %d slips\n", k+1,
			hidden.Fault.Suspect.ID, hidden.Fault.Ohms, x.Rank, x.Stated, x.Slips)
		for _, line := range x.Log {
			fmt.Fprintln(r.o.out, "      "+line)
		}
	}
}

// sums are the means of a row.
type sums struct {
	readings, lifts, minutes, total, stated, looks float64
	first, two, three, found                       float64
	unsure                                         int // hunts without a list
}

func mean(all []one, of func(*one) *trial.Result) sums {
	var s sums
	n := float64(len(all))
	for i := range all {
		r := of(&all[i])
		s.readings += float64(r.Readings) / n
		s.lifts += float64(r.Lifts) / n
		s.minutes += r.Minutes / n
		s.total += r.Total / n
		s.stated += r.Stated / n
		s.looks += float64(r.Looks) / n
		if r.Found {
			s.found += 1 / n
		}
		if r.NoList {
			s.unsure++
		}
		for k, c := range []*float64{&s.first, &s.two, &s.three} {
			if r.Rank >= 1 && r.Rank <= k+1 {
				*c += 1 / n
			}
		}
	}
	return s
}

func ours(x *one) *trial.Result   { return &x.ours }
func murray(x *one) *trial.Result { return &x.murray }

func (r *row) seconds() float64 {
	sum := 0.0
	for i := range r.all {
		sum += r.all[i].seconds
	}
	return sum / float64(len(r.all))
}
