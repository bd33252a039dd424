package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"
	"time"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/outside"
	pages "fishplate/diagnose/page"
	"fishplate/diagnose/panel"
	"fishplate/diagnose/piece"
	"fishplate/diagnose/stage"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

// ticks is what was done and read while a layout was built, kept beside its file.
type ticks struct {
	Format int     `json:"fishplate_build"`
	Ticks  []tick  `json:"ticks"`
	Aside  []aside `json:"put_aside,omitempty"`
	// Pairs is how many pairs of a panel are being joined that the file does not have,
	// and Written the terminals that were put there to be joined.
	Pairs   int      `json:"panel_pairs,omitempty"`
	Written []string `json:"panel_written,omitempty"`
}

// aside is a piece that was not as it must be on the bench; one that passes later is none.
type aside struct {
	Piece string    `json:"piece"`
	Wrong []int     `json:"wrong"` // readings, by number
	At    time.Time `json:"at"`
}

// tick is one reading that was good, or a step that was done.
type tick struct {
	Piece   string    `json:"piece"` // the last one laid then, or the wires
	Reading string    `json:"reading"`
	Showed  string    `json:"showed,omitempty"`
	At      time.Time `json:"at"`
}

func ticksPath(layout string) string { return layout + ".build.json" }

// readTicks reads what is kept; nothing where there is none.
func readTicks(layout string) (*ticks, error) {
	t := &ticks{Format: 1}
	data, err := readOutside(ticksPath(layout), outside.Drill)
	if errors.Is(err, fs.ErrNotExist) {
		return t, nil
	}
	if err == nil {
		err = outside.Drill.Decode(data, t)
	}
	switch {
	case err != nil:
	case t.Format != 1:
		err = errors.New("it is of another fishplate")
	case t.Pairs < 0 || t.Pairs > panel.Most:
		err = fmt.Errorf("panel_pairs is %d, and a panel has 1 to %d", t.Pairs, panel.Most)
	}
	if err != nil {
		return nil, fmt.Errorf("the ticks in %s cannot be read: %w; move that file away to begin anew",
			ticksPath(layout), err)
	}
	return t, nil
}

// keptTicks says where the ticks of a layout are, and with which command to go on.
func keptTicks(command, name string) string {
	return fmt.Sprintf("Kept in %s. Go on with: fishplate %s %s", ticksPath(name), command, name)
}

// keys are the readings that were good.
func (t *ticks) keys() []string {
	var out []string
	for i := range t.Ticks {
		out = append(out, outside.Line(t.Ticks[i].Reading))
	}
	return out
}

// tick keeps a good reading at once, beside those that another program has kept, and
// untick takes one out again.
func (t *ticks) tick(layout, where, key, showed string) error {
	return t.change(layout, func(kept *ticks) { kept.add(where, key, showed) })
}

func (t *ticks) add(where, key, showed string) {
	t.Ticks = append(t.Ticks, tick{Piece: where, Reading: key, Showed: outside.Line(showed),
		At: time.Now().Round(time.Second)})
}

func (t *ticks) untick(layout, key string) error {
	return t.change(layout, func(kept *ticks) { kept.drop(key) })
}

// forget takes all out whose keys begin so.
func (t *ticks) forget(layout, begins string) error {
	if !slices.ContainsFunc(t.Ticks, func(x tick) bool { return strings.HasPrefix(x.Reading, begins) }) {
		return nil
	}
	return t.change(layout, func(kept *ticks) {
		kept.Ticks = slices.DeleteFunc(kept.Ticks, func(x tick) bool { return strings.HasPrefix(x.Reading, begins) })
	})
}

func (t *ticks) drop(key string) {
	t.Ticks = slices.DeleteFunc(t.Ticks, func(x tick) bool { return x.Reading == key })
}

// putAside keeps that a piece was not as it must be, and passes that it is now.
func (t *ticks) putAside(layout, piece string, wrong []int) error {
	return t.change(layout, func(kept *ticks) {
		kept.Aside = append(without(kept.Aside, piece), aside{Piece: outside.Line(piece), Wrong: wrong,
			At: time.Now().Round(time.Second)})
	})
}

func (t *ticks) passes(layout, piece string) error {
	if t.aside(piece) == "" {
		return nil
	}
	return t.change(layout, func(kept *ticks) { kept.Aside = without(kept.Aside, piece) })
}

func without(list []aside, piece string) []aside {
	return slices.DeleteFunc(list, func(x aside) bool { return x.Piece == piece })
}

// aside says of a piece that it was put aside, empty where it was not.
func (t *ticks) aside(name string) string {
	for i := range t.Aside {
		if x := &t.Aside[i]; x.Piece == name {
			return fmt.Sprintf("%s was put aside at the bench on %s (wrong at %s): is it mended, or is another in "+
				"its place?", name, x.At.Format("2 January"), piece.Numbers(x.Wrong))
		}
	}
	return ""
}

// asides says so of all that are laid with a stage.
func (t *ticks) asides(s *stage.Stage) []string {
	var out []string
	for _, p := range s.Pieces {
		if says := t.aside(p); says != "" {
			out = append(out, says)
		}
	}
	return out
}

// change changes what is kept as it is now.
func (t *ticks) change(layout string, do func(*ticks)) error {
	path := ticksPath(layout)
	return oneAtATime("file of ticks", path, func() error {
		kept, err := readTicks(layout)
		if err != nil {
			return err
		}
		do(kept)
		data, err := json.MarshalIndent(kept, "", " ")
		if err == nil {
			err = writeFile(path, append(data, '\n'))
		}
		if err != nil {
			return fmt.Errorf("the tick could not be kept in %s: %w", path, err)
		}
		*t = *kept
		return nil
	})
}

// builder asks for the readings of a plan, one after the other.
type builder struct {
	w      *world
	in     *lines
	name   string
	layout *track.Layout
	proof  *stage.Proof
	ticks  *ticks
}

// errEnough says that the user is done for now.
var errEnough = errors.New("done for now")

// askStages goes through a plan with whoever holds the meter.
func (w proving) askStages(command string, src *source, proof *stage.Proof, kept *ticks) int {
	b := &builder{w: w.world, in: newLines(w.in), name: src.name, layout: src.layout, proof: proof, ticks: kept}
	b.say(proof.Plan.Before()...)
	err := b.touch()
	if err == nil {
		err = b.stages()
	}
	switch {
	case errors.Is(err, errEnough) || errors.Is(err, io.EOF):
		return w.print(keptTicks(command, src.name) + " --ask\n")
	case err != nil:
		return w.fail(err)
	}
	return exitOK
}

func (b *builder) say(list ...string) { b.w.say(list...) }

// say prints sentences, each on a line of its own.
func (w *world) say(list ...string) {
	p := paper{width: w.checkWidth()}
	for _, s := range list {
		p.para("", s)
	}
	w.print(p.String())
}

// touch asks what the leads show alone.
func (b *builder) touch() error {
	for {
		b.say(stage.AsksLeads)
		text, err := b.line()
		if err != nil || b.proof.TakeLeads(text) {
			return err
		}
		b.say(stage.NoLeads)
	}
}

// line reads an answer; q ends.
func (b *builder) line() (string, error) {
	text, err := b.in.next()
	if err == nil && (text == "q" || text == "quit") {
		return "", errEnough
	}
	return text, err
}

// stages asks for all that is not good yet.
func (b *builder) stages() error {
	b.say("u takes the last one back, q ends for now.")
	stops := b.proof.Plan.Stops()
	for told := stage.Stop(nil); ; {
		s, r := b.proof.Next()
		if told != nil && s != told && told.Tail() != "" &&
			(s == nil || slices.Index(stops, s) > slices.Index(stops, told)) {
			b.say(told.Tail())
		}
		if s == nil {
			return b.done()
		}
		if s != told {
			told = s
			b.say("", s.Head())
			switch s := s.(type) {
			case *stage.Stage:
				b.say(b.ticks.asides(s)...)
			case *stage.Wire:
				b.say("Caution: " + s.Care())
				b.say(s.Do...)
			}
			b.say(r.Types() + ".")
		}
		if err := b.ask(s, r); err != nil {
			if track, ok := s.(*stage.Stage); ok && errors.Is(err, errFailed) {
				return b.failed(track, r)
			}
			return err
		}
	}
}

// errFailed says that a stage is not as it must be.
var errFailed = errors.New("the stage failed")

// done says what comes when all is proven.
func (b *builder) done() error {
	text, err := b.w.sheet(provenPage(b.proof.Plan, b.name), "text", false)
	b.w.print(text)
	return err
}

// provenPage is what comes when all is proven.
func provenPage(plan *stage.Plan, name string) *pages.Page {
	p := plan.Done()
	next := []string{fmt.Sprintf("fishplate panel %s: thin wires to one block, so that a fault is found standing.",
		name),
		fmt.Sprintf("fishplate health %s: a baseline of this good evening, to hold later ones against.", name)}
	if plan.Portable {
		next = []string{fmt.Sprintf("fishplate health %s: a minute before the show, held against good evenings.", name)}
	}
	p.Put(pages.Block{Title: "What comes next, when trains run", List: next})
	return p
}

// ask takes an answer to the reading that comes next.
func (b *builder) ask(s stage.Stop, r *stage.Reading) error {
	b.say(r.Say())
	for {
		text, err := b.line()
		if err != nil {
			return err
		}
		if text == "u" || text == "undo" {
			return b.back()
		}
		got, err := r.Parse(text)
		if err != nil {
			b.say(r.Types() + ". q ends for now.")
			continue
		}
		switch o := b.proof.Answer(got); o {
		case stage.Ticked:
			good, all := b.proof.Count()
			b.say(fmt.Sprintf("  %s %d of %d", o.Says(), good, all))
			return b.ticks.tick(b.name, s.Name(), r.Key(), text)
		case stage.Failed:
			if _, wires := s.(*stage.Wire); wires {
				b.say(s.Failed(b.layout), "Mended? Read it again.")
				continue
			}
			return errFailed
		default:
			b.say(o.Says())
		}
	}
}

// back takes the last good reading back.
func (b *builder) back() error {
	if !b.proof.Back() {
		b.say("Nothing is ticked yet.")
		return nil
	}
	_, r := b.proof.Next()
	return b.ticks.untick(b.name, r.Key())
}

// failed begins a hunt on what is laid: the layout as far as this stage, in a file
// of its own.
func (b *builder) failed(s *stage.Stage, r *stage.Reading) error {
	path, err := b.w.halfBuilt(b.name, b.layout, s)
	if err != nil {
		return err
	}
	b.say("", fmt.Sprintf("Stop %d fails.", s.N))
	b.say(failedSays(b.layout, path, s, r)...)
	b.say("Hunt now? (yes, or Enter to leave it: fishplate " + path + ")")
	answer, err := b.line()
	if err == nil && strings.HasPrefix(strings.ToLower(answer), "y") {
		if err := b.hunt(path, s, r); err != nil {
			return err
		}
	}
	b.say("", b.mended()+" --ask")
	return nil
}

// mended says how to go on when a stop that failed is mended.
func (b *builder) mended() string {
	return "Found and mended? Read this stop again, and go on laying: fishplate build " + b.name
}

// failedSays is what is said of a stop that failed, where the layout as far as it is laid
// is in a file.
func failedSays(l *track.Layout, path string, s *stage.Stage, r *stage.Reading) []string {
	return []string{s.Failed(l),
		"The layout as it is now is in " + path + ". For the hunt clip a pair of leads on at " +
			l.PlaceName(track.Place{Piece: s.Near.Piece, End: s.Near.End}) +
			", their other ends on the supply's posts, and that off and unplugged: they are bench-leads there, its " +
			"only wires. What was read good before stands in it as good. Mend nothing before it is found.",
		s.Symptom(r)}
}

// hunt hunts what a failed reading shows on the layout as far as it is laid.
func (b *builder) hunt(path string, s *stage.Stage, r *stage.Reading) error {
	src, err := b.w.load(path)
	if err != nil {
		return err
	}
	kit := newKit()
	config := b.w.settle(b.w.now.Flags(), kit)
	if code := b.w.onward(&onward{src: src, kit: kit, config: config, symptom: failedAs(s, r)}, b.in); code != exitOK {
		return errors.New("the hunt could not go on")
	}
	return nil
}

// failedAs is what a failed reading is to a hunt.
func failedAs(s *stage.Stage, r *stage.Reading) hunt.Symptom {
	if r.Want == piece.Silent {
		return hunt.Symptom{Kind: hunt.SymptomShort, Thrown: r.Thrown}
	}
	return hunt.Symptom{Kind: hunt.SymptomDead, At: s.DeadAt(r)}
}

// halfBuilt writes the layout as far as a stage into a file of its own, and gives its
// path. Pieces that were read good before stand in it as good.
func (w *world) halfBuilt(name string, l *track.Layout, s *stage.Stage) (path string, err error) {
	_, text, err := w.read(name)
	if err != nil {
		return "", err
	}
	file, problems := layoutfile.Read(name, text)
	if file == nil || len(file.Layout.Pieces) != len(l.Pieces) {
		return "", fmt.Errorf("%s has been changed meanwhile: %w", name, problems)
	}
	half, err := file.Laid(s.End, s.First, s.Near)
	if err != nil {
		return "", err
	}
	path = strings.TrimSuffix(name, ".hcl") + fmt.Sprintf(".stage%d.hcl", s.N)
	laid, problems := layoutfile.Read(path, half)
	if laid == nil {
		return "", fmt.Errorf("the part that is laid makes no layout of its own: %w", problems)
	}
	var good []track.OddsFactor
	for _, p := range l.Pieces[:s.First] {
		if at := laid.Layout.FindPiece(p.ID()); at >= 0 {
			good = append(good, track.OddsFactor{Piece: at, Factor: stage.ProvenOdds, Why: stage.Proven})
		}
	}
	return path, writeFile(path, laid.WithHistory(good))
}
