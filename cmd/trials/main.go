// Command trials hides faults on invented layouts, hunts them, and prints what
// the hunts cost and how often they were right. The readings come from package
// simulate (the exact solver with resistances drawn link by link) or, with
// -spice, from ngspice; neither shares anything with the predictions that the
// hunt rests on. The same flags give the same tables, times and memory apart.
package main

import (
	"flag"
	"fmt"
	"io"
	"os"
	"runtime"
	"slices"
	"strconv"
	"strings"

	"fishplate/diagnose/trial"
)

const about = `trials measures hunts on invented layouts.

  go run ./cmd/trials                     the main table, 20 hunts a row, some rows a shape and size
  go run ./cmd/trials -full               every crossing of shape, size, meter, track and misreads
  go run ./cmd/trials -shape loop -pieces 200 -meter cheap -level 1 -wrong 0 -n 100
                                          one row of it
  go run ./cmd/trials -table aim          a short on a loop, 1 A known to 1 %, 0.1 mV: levels known and unknown
  go run ./cmd/trials -table kinds        one fault of each kind of part on the layouts of testdata, 3 hunts each
  go run ./cmd/trials -table kinds -only "double slip" -log
                                          those whose part or fault has these words, with every reading
  go run ./cmd/trials -table faults       one fault of each kind that a shape has, hidden in turn
  go run ./cmd/trials -table calibration -n 5000
                                          what is stated against what comes true, by tenths
  go run ./cmd/trials -table lamp -n 16   shorts on a bench where hands do what is said: lamps known or not
  go run ./cmd/trials -table happens -n 10
                                          points thrown, two faults, spread weakness, files that are wrong: a row each
  go run ./cmd/trials -table panel -only loop60
                                          the same shorts without a panel and with one: readings on the track, minutes
  go run ./cmd/trials -spice -n 3         the readings by ngspice; also with -table kinds

`

// options is what the command line says. An empty list means all.
type options struct {
	table            string
	only             string // table kinds: rows whose part or fault has these words
	n                int
	seed             uint64
	shapes           []string
	pieces           []int
	meters           []string
	levels, wrong    []float64
	full, spice, log bool
	bisect           bool // the hunter chooses by bisection
	battery          bool // in the kit
	unmended         bool // what is found first
	block            bool // and reads all that a block tells first
	workers          int
	out              io.Writer
}

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

func run(args []string, stdout, stderr io.Writer) int {
	o, err := parse(args, stderr)
	if err != nil {
		fmt.Fprintf(stderr, "trials: %v\n  all flags: go run ./cmd/trials -h\n", err)
		return 2
	}
	o.out = stdout
	tables := map[string]func(*options) error{"main": mainTable, "aim": aimTable, "kinds": kindsTable,
		"faults": faultsTable, "calibration": calibrationTable, "lamp": lampTable, "happens": happensTable,
		"panel": panelTable}
	if err := tables[o.table](o); err != nil {
		fmt.Fprintf(stderr, "trials: %v\n", err)
		return 1
	}
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	fmt.Fprintf(stdout, "\nmemory taken from the system: %d MB at most\n", m.Sys/1e6)
	return 0
}

func parse(args []string, stderr io.Writer) (*options, error) {
	o := &options{}
	fs := flag.NewFlagSet("trials", flag.ContinueOnError)
	fs.SetOutput(stderr)
	fs.Usage = func() { fmt.Fprint(stderr, about); fs.PrintDefaults() }
	fs.StringVar(&o.table, "table", "main", "main, aim, kinds, faults, calibration, lamp, happens or panel")
	fs.IntVar(&o.n, "n", 20, "hunts a row (calibration: in all; kinds: 3 where it is not said)")
	fs.StringVar(&o.only, "only", "", "tables kinds, lamp, happens, panel: only rows that have these words")
	fs.Uint64Var(&o.seed, "seed", 1, "seed of all draws")
	fs.BoolVar(&o.full, "full", false, "main table: every crossing")
	fs.BoolVar(&o.spice, "spice", false, "readings by ngspice, no misreads")
	fs.BoolVar(&o.battery, "battery", false,
		"table happens: a battery of 12 V and its lamp of 21 W are in the kit, and millivolts on DC alone")
	fs.BoolVar(&o.unmended, "unmended", false, "table happens: what is found first is called mended, and is not")
	fs.BoolVar(&o.block, "block", false, "table panel: all that the block tells is read first")
	fs.BoolVar(&o.bisect, "bisection", false, "readings are chosen by bisection, whatever they cost")
	fs.BoolVar(&o.log, "log", false, "print every reading of every hunt")
	fs.IntVar(&o.workers, "workers", runtime.GOMAXPROCS(0), "hunts at a time")
	shape := fs.String("shape", "", "only these shapes: "+strings.Join(trial.Shapes, ","))
	pieces := fs.String("pieces", "", "only these sizes (usual: 50,100,200,500; aim: 40,100,200)")
	meter := fs.String("meter", "", "only these meters: cheap,good")
	level := fs.String("level", "", "only these levels of the track: 1,2,5 times as stated")
	wrong := fs.String("wrong", "", "only these rates of misreads: 0,0.03,0.1")
	if err := fs.Parse(args); err != nil {
		return nil, err
	}
	if fs.NArg() > 0 {
		return nil, fmt.Errorf("%q: only flags are known", fs.Arg(0))
	}
	if !slices.Contains([]string{"main", "aim", "kinds", "faults", "calibration", "lamp", "happens", "panel"},
		o.table) {
		return nil, fmt.Errorf("-table %s is none of main, aim, kinds, faults, calibration, lamp, happens, panel",
			o.table)
	}
	if o.table == "kinds" && !said(fs, "n") {
		o.n = 3
	}
	if o.n < 1 || o.workers < 1 {
		return nil, fmt.Errorf("-n and -workers are 1 at least")
	}
	return o, o.lists(*shape, *pieces, *meter, *level, *wrong)
}

// said says whether the command line has a flag.
func said(fs *flag.FlagSet, name string) bool {
	found := false
	fs.Visit(func(f *flag.Flag) { found = found || f.Name == name })
	return found
}

// lists reads the flags that hold lists.
func (o *options) lists(shape, pieces, meter, level, wrong string) error {
	var err error
	if o.shapes, err = words("shape", shape, trial.Shapes); err != nil {
		return err
	}
	if o.meters, err = words("meter", meter, []string{"cheap", "good"}); err != nil {
		return err
	}
	sizes, err := numbers("pieces", pieces)
	if err != nil {
		return err
	}
	for _, x := range sizes {
		o.pieces = append(o.pieces, int(x))
	}
	if o.levels, err = numbers("level", level); err != nil {
		return err
	}
	o.wrong, err = numbers("wrong", wrong)
	return err
}

func words(name, list string, known []string) ([]string, error) {
	if list == "" {
		return nil, nil
	}
	out := strings.Split(list, ",")
	for _, w := range out {
		if !slices.Contains(known, w) {
			return nil, fmt.Errorf("-%s %s is none of %s", name, w, strings.Join(known, ", "))
		}
	}
	return out, nil
}

func numbers(name, list string) ([]float64, error) {
	if list == "" {
		return nil, nil
	}
	var out []float64
	for w := range strings.SplitSeq(list, ",") {
		x, err := strconv.ParseFloat(w, 64)
		if err != nil || x < 0 {
			return nil, fmt.Errorf("-%s %s is no number", name, w)
		}
		out = append(out, x)
	}
	return out, nil
}

// or gives a list, or the usual one where it is empty.
func or[T any](list, usual []T) []T {
	if len(list) > 0 {
		return list
	}
	return usual
}
