package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"github.com/guptarohit/asciigraph"
	"github.com/spf13/cobra"

	"fishplate/diagnose/gear"
	"fishplate/diagnose/health"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/unit"
)

// healthArgs is a health check as asked for.
type healthArgs struct {
	kit      *kitFlag
	look     *look
	readings string
	anew     bool
	show     bool
	hunt     bool
	json     bool
	plain    bool
	out      string
}

func (w commands) healthCommand() *cobra.Command {
	a := healthArgs{kit: newKit()}
	c := w.does(&cobra.Command{
		Use:   "health LAYOUT",
		Short: "a minute before the show: is all as it was?",
		Long: "A battery in the supply's place, its lamp across the rails, and a few millivolts. The first time they " +
			"are the baseline; later evenings are held against it, by ratios, so that battery and lamp do not count. " +
			"It says all as it was, or which part of the layout got worse, by how much and since when, long before a " +
			"train feels it. --json prints the plan, the parts that it tells apart and every evening's verdict; with " +
			"--readings a program keeps an evening.",
		Example: "fishplate health shelf.hcl --lamp 1.75A\nfishplate health shelf.hcl --show -o health.html",
	}, func(words []string) int { return checkup{w.world}.health(&a, words) })
	fs := c.Flags()
	fs.StringVar(&a.readings, "readings", "", "this evening's `LIST`, in their order: \"66.1, 23.0, -7.9\" (mV)")
	fs.BoolVar(&a.anew, "new", false, "take a new baseline: the evenings before are put aside")
	fs.BoolVar(&a.show, "show", false, "only show what is kept")
	fs.BoolVar(&a.hunt, "hunt", false, "begin a hunt with what the last evening says")
	fs.BoolVar(&a.json, "json", false, "for programs; with --readings it keeps an evening")
	fs.BoolVar(&a.plain, "plain", false, "line by line and no drawing: screen readers")
	fs.StringVarP(&a.out, "output", "o", "", "write the page of all evenings to `FILE`; its ending tells the form")
	kitFlags(c, a.kit)
	a.look = lookFlags(fs).readings(fs)
	offer(c, "readings", cobra.NoFileCompletions)
	return w.onLayout(c, false)
}

// checkup is a health check.
type checkup struct{ *world }

// health takes an evening, or shows what is kept.
func (w checkup) health(a *healthArgs, words []string) int {
	name, err := one(words, "")
	switch {
	case err != nil:
		return w.usage(err.Error(), "")
	case name == stdinName:
		return w.usage("a health check reads its answers from stdin, so the layout must be a file", "")
	case a.show && (a.anew || a.readings != ""):
		return w.usage("--show takes no reading: leave --new and --readings out", "")
	case a.hunt && a.json:
		return w.usage("--hunt asks for readings: leave --json out", "")
	}
	if _, err := formOf("", a.out, "text"); err != nil { // before a reading is taken
		return w.usage(err.Error(), "")
	}
	config := w.settle(w.now.Flags(), a.kit)
	src, err := w.load(name)
	if err != nil {
		return w.refused(err)
	}
	e := &evening{w: w.world, src: src, in: newLines(w.in), quiet: a.json, anew: a.anew}
	if err = e.open(a); err == nil && e.onScreen(a) {
		s := &stay{w: w.world, look: a.look}
		return s.run(e.screens(s, a, config))
	}
	if err == nil {
		err = e.take(a)
	}
	switch {
	case errors.Is(err, errEnough) || errors.Is(err, io.EOF):
		return w.print("Nothing was kept of this evening.\n" + e.check.After() + "\n")
	case err != nil:
		return w.fail(err)
	}
	if code := e.tell(a); code != exitOK || !e.wantsHunt(a) {
		return code
	}
	return e.hunt(a, config)
}

// evening is a health check being taken.
type evening struct {
	w     *world
	src   *source
	in    *lines
	quiet bool
	path  string
	anew  bool // a new baseline is wanted
	book  *healthBook
	check *health.Check
	past  *health.History // with this evening, once it is taken
}

// open reads what is kept, or plans the first evening.
func (e *evening) open(a *healthArgs) error {
	var err error
	if e.path, err = healthPath(e.src); err != nil {
		return err
	}
	if e.book, err = readHealth(e.path); err != nil {
		return err
	}
	kit := &a.kit.kit
	volts := float64(health.Volts)
	if kit.DCVolts > 0 {
		volts = kit.DCVolts
	}
	amps, _ := kit.LampCurrent(volts, math.Inf(1))
	if kit.LampAmps <= 0 && kit.LampWatts <= 0 {
		amps = health.Amps
	}
	in, _ := meter.ByName(kit.Meter, false)
	if kit.Own != nil {
		in = *kit.Own
	}
	if e.book == nil || a.anew {
		if a.show || a.hunt && a.readings == "" {
			return fmt.Errorf("no evening of %s is kept yet: fishplate health %s takes the first", e.src.name,
				e.src.name)
		}
		plan, err := health.Make(e.src.layout, health.Options{Meter: in, Volts: volts, Amps: amps})
		if err != nil {
			return err
		}
		e.book = &healthBook{Format: healthFormat, Volts: volts, Amps: amps, Plan: *plan, fresh: true}
	}
	e.check, err = health.On(e.src.layout, &e.book.Plan, health.Options{Meter: in, Volts: e.book.Volts,
		Amps: e.book.Amps})
	if err != nil {
		return fmt.Errorf("%w; take a new baseline: fishplate health %s --new", err, e.src.name)
	}
	return nil
}

// take takes an evening unless only what is kept is wanted, and judges.
func (e *evening) take(a *healthArgs) error {
	switch {
	case a.show, a.hunt && a.readings == "", a.json && a.readings == "":
	case a.readings != "":
		if err := e.given(a.readings); err != nil {
			return err
		}
	default:
		if err := e.ask(); err != nil {
			return err
		}
	}
	if len(e.book.Evenings) == 0 {
		return nil
	}
	return e.judge()
}

// judge says what the evenings come to.
func (e *evening) judge() error {
	list, err := e.book.read()
	if err == nil {
		e.past, err = e.check.Judge(list)
	}
	if err != nil {
		return fmt.Errorf("what is kept in %s cannot be judged: %w; move that file away to begin anew", e.path, err)
	}
	return nil
}

// given takes readings from the command line.
func (e *evening) given(text string) error {
	words := strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' })
	if len(words) != len(e.book.Plan.Readings) {
		return fmt.Errorf("--readings has %s; this check has %d: fishplate health --json %s lists them",
			unit.Count(len(words), "reading"), len(e.book.Plan.Readings), e.src.name)
	}
	var showed []string
	for k, word := range words {
		word = strings.TrimSpace(word)
		got, err := health.Read(word)
		if err != nil {
			return err
		}
		if odd := e.check.Odd(k, got.Volts, e.book.last(k)); odd != "" && !e.quiet {
			e.say("", fmt.Sprintf("Reading %d is %s. %s", k+1, word, odd))
		}
		showed = append(showed, word)
	}
	return e.keep(showed)
}

// keep puts an evening into the file at once, behind those that another program
// has kept since it was read.
func (e *evening) keep(showed []string) error {
	return oneAtATime("file of evenings", e.path, func() error {
		now, err := readHealth(e.path)
		switch {
		case err != nil:
			return err
		case e.anew:
			if _, err := putAside(e.path); err != nil {
				return fmt.Errorf("the evenings before could not be put aside: %w", err)
			}
		case now != nil && !now.alike(e.book):
			return fmt.Errorf("another fishplate has taken a new baseline meanwhile, of other readings: this evening "+
				"is not kept; take it again: fishplate health %s", e.src.name)
		case now != nil:
			e.book = now
		}
		e.book.add(time.Now().Round(time.Second), showed)
		return e.book.write(e.path)
	})
}

// say prints paragraphs.
func (e *evening) say(prefix string, list ...string) {
	p := paper{width: e.w.checkWidth()}
	for _, s := range list {
		p.para(prefix, s)
	}
	e.w.print(p.String())
}

// ask goes through the readings with whoever holds the meter.
func (e *evening) ask() error {
	head := e.src.layout.Name + ": the first health check takes the baseline. Take it on an evening when all runs well."
	if !e.book.fresh {
		head = e.src.layout.Name + ": health check, held against " + e.book.when(0) + "."
	}
	e.say("", head)
	e.say("Caution: ", e.check.Cautions()...)
	e.say("- ", e.check.Before()...)
	e.say("", "Dial: "+health.Dial+". Type what it shows; u takes the last one back, q leaves.")
	sitting := e.check.Sit(e.book.last)
	for told, k := -1, sitting.Next(); k >= 0; k = sitting.Next() {
		r := e.book.Plan.Readings[k]
		if r.Place != told {
			told = r.Place
			e.say("", "", e.check.At(told))
			at := &e.book.Plan.Places[told]
			e.say("    ", pointWords(e.src.layout, at.Hot), pointWords(e.src.layout, at.Common))
		}
		e.say("", "", fmt.Sprintf("Reading %d of %d", k+1, len(e.book.Plan.Readings)))
		e.say("  ", "Red probe: "+pointWords(e.src.layout, r.Red), "Black probe: "+pointWords(e.src.layout, r.Black))
		if long := e.check.Lengthen(k); long != "" {
			e.say("  ", long)
		}
		if err := e.one(sitting); err != nil {
			return err
		}
	}
	e.say("", "", e.check.After())
	return e.keep(sitting.Showed())
}

// one asks until there is an answer to the next reading, or the last one is taken back.
func (e *evening) one(sitting *health.Sitting) error {
	for {
		text, err := e.in.next()
		switch {
		case err != nil:
			return err
		case text == "q" || text == "quit":
			return errEnough
		case text == "u" || text == "undo":
			sitting.Back()
			return nil
		}
		again := sitting.Take(text)
		if again == "" {
			return nil
		}
		e.say("", again)
	}
}

// tell says what the evenings come to.
func (e *evening) tell(a *healthArgs) int {
	if a.json {
		return e.programs()
	}
	drawn, said := e.chart(min(e.w.checkWidth()-12, 60))
	if a.out != "" {
		if e.past == nil {
			return e.w.fail(fmt.Errorf("no evening is kept yet"))
		}
		p := e.check.Page(e.past, e.book.when, drawn, said)
		form, err := formOf("", a.out, "text")
		if err != nil {
			return e.w.fail(err)
		}
		text, err := e.w.sheet(p, form, true)
		if err != nil {
			return e.w.fail(err)
		}
		return e.w.deliver(text, form, a.out, "The page is in %s")
	}
	e.say("", "")
	e.say("", e.check.Say(e.past.Last(), len(e.past.Verdicts), e.book.when)...)
	if drawn != "" && !a.plain {
		e.w.print("\n" + drawn + "\n")
	}
	if said != "" {
		e.say("", said)
	}
	e.say("", "", e.kept())
	return exitOK
}

// kept says where the evenings are, and what comes next.
func (e *evening) kept() string {
	if e.past.Last().Quiet || len(e.past.Verdicts) == 1 {
		return "Kept in " + e.path + ". Before the next show: fishplate health " + e.src.name
	}
	return "Kept in " + e.path + "."
}

// chart is the run of the evenings for one part, the ohms that one contact there has more
// than on the good evenings: drawn, and what it shows in a sentence.
func (e *evening) chart(width int) (drawn, said string) {
	if e.past == nil || len(e.past.Verdicts) < 2 || len(e.past.Ohms) == 0 {
		return "", ""
	}
	p := e.past.Charted()
	all := e.past.Ohms[p]
	wide := min(max(1, width/len(all)), 6) // columns an evening
	var series []float64
	var told []string
	for i, ohms := range all {
		for range wide {
			series = append(series, 1000*ohms)
		}
		if i >= len(all)-mostTold {
			told = append(told, fmt.Sprintf("%.0f", 1000*ohms))
		}
	}
	options := []asciigraph.Option{asciigraph.Height(8), asciigraph.Precision(0),
		asciigraph.LowerBound(leastCharted[0]), asciigraph.UpperBound(leastCharted[1])}
	if len(series) > width {
		options = append(options, asciigraph.Width(width))
	}
	part := &e.check.Parts[p]
	said = fmt.Sprintf("mohm more than on the good evenings, %s, %s, the last of %d evenings: %s.", part.Name,
		part.Rails, len(all), strings.Join(told, ", "))
	return asciigraph.Plot(series, options...), said
}

// leastCharted are the mohm that a chart shows at least, so that drift looks as small as
// it is; mostTold is how many evenings are told in words.
var leastCharted = [2]float64{-5, 25}

const mostTold = 10

// wantsHunt asks whether what got worse is hunted now.
func (e *evening) wantsHunt(a *healthArgs) bool {
	switch {
	case e.past == nil || a.json || a.out != "":
		return false
	case e.past.Last().Quiet || e.past.Last().Better:
		if a.hunt {
			e.say("", e.nothingToHunt())
		}
		return false
	case a.hunt:
		return true
	}
	e.say("", "", "Hunt for it now, beginning with what these evenings say? (yes, or Enter to leave it: fishplate "+
		"health "+e.src.name+" --hunt)")
	answer, err := e.in.next()
	return err == nil && strings.HasPrefix(strings.ToLower(answer), "y")
}

// nothingToHunt says so, and what comes next.
func (e *evening) nothingToHunt() string {
	if len(e.past.Verdicts) > 1 {
		return "There is nothing to hunt: all is as it was. Next: fishplate health " + e.src.name +
			" before the next show."
	}
	return "There is nothing to hunt yet: the baseline is kept, and no other evening is held against it. Next: " +
		"fishplate health " + e.src.name +
		" on another evening; what a train feels now is hunted with fishplate hunt " + e.src.name + "."
}

// hunt begins a hunt whose belief starts where the evenings say.
func (e *evening) hunt(a *healthArgs, config *config) int {
	kit, s := e.doubts(a)
	return e.w.onward(&onward{src: e.src, kit: kit, config: config, symptom: s, plain: a.plain}, e.in)
}

// doubts is what a hunt begins with: what the evenings say, and the battery and the lamp
// that are at hand.
func (e *evening) doubts(a *healthArgs) (*kitFlag, hunt.Symptom) {
	v := e.past.Last()
	places, at := e.check.Doubts(v)
	k := a.kit
	if k.kit.DCVolts <= 0 {
		gear.SetFeed(&k.kit, gear.Battery)
		k.kit.DCVolts = e.book.Volts
	}
	if k.kit.LampAmps <= 0 && k.kit.LampWatts <= 0 {
		k.kit.LampAmps = e.book.Amps
	}
	k.kit.Lamp, k.given = true, true
	return k, hunt.Symptom{Kind: hunt.SymptomWeak, At: at, Worse: &hunt.Worse{Places: places, Ohms: v.Ohms}}
}
