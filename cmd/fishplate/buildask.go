package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"
	"time"

	"fishplate/diagnose/outside"
	"fishplate/diagnose/stage"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
	"fishplate/layoutfile"
)

// ticks is what was read while a layout was built, kept beside its file.
type ticks struct {
	Format int    `json:"fishplate_build"`
	Ticks  []tick `json:"ticks"`
}

// tick is one reading that was good.
type tick struct {
	Piece   string    `json:"piece"` // the last one laid then
	Reading string    `json:"reading"`
	Showed  string    `json:"showed"`
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
	if err == nil && t.Format != 1 {
		err = errors.New("it is of another fishplate")
	}
	if err != nil {
		return nil, fmt.Errorf("the ticks in %s cannot be read: %w; move that file away to begin anew", ticksPath(layout), err)
	}
	return t, nil
}

func (t *ticks) has(r *stage.Reading) bool {
	for i := range t.Ticks {
		if t.Ticks[i].Reading == r.Key() {
			return true
		}
	}
	return false
}

// builder asks for the readings of a plan, one after the other.
type builder struct {
	w      *world
	in     *lines
	name   string
	layout *track.Layout
	plan   *stage.Plan
	ticks  *ticks
	leads  float64 // ohms of the leads alone
}

// errEnough says that the user is done for now.
var errEnough = errors.New("done for now")

// askStages goes through a plan with whoever holds the meter.
func (w proving) askStages(name string, l *track.Layout, plan *stage.Plan) int {
	kept, err := readTicks(name)
	if err != nil {
		return w.fail(err)
	}
	b := &builder{w: w.world, in: newLines(w.in), name: name, layout: l, plan: plan, ticks: kept}
	b.say(stage.Before()...)
	if err = b.touch(); err == nil {
		err = b.stages()
	}
	switch {
	case errors.Is(err, errEnough) || errors.Is(err, io.EOF):
		return w.print(fmt.Sprintf("Kept in %s. Go on with: fishplate build %s --ask\n", ticksPath(name), name))
	case err != nil:
		return w.fail(err)
	}
	return exitOK
}

func (b *builder) say(list ...string) {
	p := paper{width: b.w.checkWidth()}
	for _, s := range list {
		p.para("", s)
	}
	b.w.print(p.String())
}

// touch asks what the leads show alone.
func (b *builder) touch() error {
	for {
		b.say("Touch the leads together. What do they show in ohms? (Enter: a beeper alone)")
		text, err := b.line()
		if err != nil || text == "" {
			return err
		}
		r, err := unit.Parse(text, unit.Ohms)
		if err == nil && r.Kind == unit.Value && r.Value < 5 {
			b.leads = r.Value
			return nil
		}
		b.say("That is no pair of leads: write their ohms, as 0.3.")
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

func (b *builder) stages() error {
	for i := range b.plan.Stages {
		s := &b.plan.Stages[i]
		told := false
		for k := range s.Readings {
			r := &s.Readings[k]
			if b.ticks.has(r) {
				continue
			}
			if !told {
				told = true
				b.say("", fmt.Sprintf("%d. %s", s.N, s.Head()))
			}
			good, err := b.ask(s, r)
			if err != nil {
				return err
			}
			if !good {
				return b.failed(s, r)
			}
		}
		if tail := s.Tail(); told && tail != "" {
			b.say(tail)
		}
	}
	page := paper{width: b.w.checkWidth()}
	page.para("", "All track is proven as far as these readings go. "+b.plan.Hidden())
	for i := range b.plan.Wiring {
		wireText(&page, &b.plan.Wiring[i])
	}
	for _, s := range stage.Supply() {
		page.para("- ", s)
	}
	b.w.print(page.String())
	return nil
}

// ask takes one reading; a bad one is taken twice before it counts.
func (b *builder) ask(s *stage.Stage, r *stage.Reading) (bool, error) {
	b.say(r.Say())
	bad := 0
	for {
		text, err := b.line()
		if err != nil {
			return false, err
		}
		got, err := parseBeep(text)
		if err != nil {
			b.say("Type what the meter says: beep or silent (1 or 0), OL, or ohms as 0.4. q ends for now.")
			continue
		}
		switch r.Judge(got, b.leads) {
		case stage.Good:
			return true, b.tick(s, r, text)
		case stage.Unclear:
			b.say("That is dirt or damp, no metal: dry and clean it, and read again.")
		default:
			if bad++; bad == 2 {
				return false, nil
			}
			b.say("Not as it must be. Probes on bright metal, clip lead and points as told? Read it again.")
		}
	}
}

// parseBeep reads what a meter says that beeps or shows ohms. On a number pad 1 is a
// beep, 0 silence and + over the range, as in a hunt.
func parseBeep(text string) (unit.Reading, error) {
	switch text {
	case "1":
		text = "beep"
	case "0":
		text = "silent"
	case "+":
		text = "OL"
	}
	if got, err := unit.Parse(text, unit.Beeper); err == nil {
		return got, nil
	}
	return unit.Parse(text, unit.Ohms)
}

// tick keeps a good reading at once, beside those that another program has kept.
func (b *builder) tick(s *stage.Stage, r *stage.Reading, showed string) error {
	path := ticksPath(b.name)
	return oneAtATime("file of ticks", path, func() error {
		kept, err := readTicks(b.name)
		if err != nil {
			return err
		}
		kept.Ticks = append(kept.Ticks, tick{Piece: s.Last, Reading: r.Key(), Showed: outside.Line(showed), At: time.Now().Round(time.Second)})
		data, err := json.MarshalIndent(kept, "", " ")
		if err != nil {
			return err
		}
		if err := writeFile(path, append(data, '\n')); err != nil {
			return fmt.Errorf("the tick could not be kept in %s: %w", path, err)
		}
		b.ticks = kept
		return nil
	})
}

// failed begins a hunt on what is laid: the layout as far as this stage, in a file
// of its own.
func (b *builder) failed(s *stage.Stage, r *stage.Reading) error {
	_, text, err := b.w.read(b.name)
	if err != nil {
		return err
	}
	file, problems := layoutfile.Read(b.name, text)
	if file == nil || len(file.Layout.Pieces) != len(b.layout.Pieces) {
		return fmt.Errorf("%s has been changed meanwhile: %w", b.name, problems)
	}
	half, err := file.Laid(s.End, s.First, s.Near)
	if err != nil {
		return err
	}
	path := strings.TrimSuffix(b.name, ".hcl") + fmt.Sprintf(".stage%d.hcl", s.N)
	if err := writeFile(path, half); err != nil {
		return err
	}
	b.say("", fmt.Sprintf("It fails. What is wrong lies among the %d pieces laid since the last stop: %s.", len(s.Pieces), strings.Join(s.Pieces, ", ")),
		"The layout as it is now is in "+path+", with a pair of leads (bench-leads) from the supply clipped on at "+b.layout.PlaceName(track.Place{Piece: s.Near.Piece, End: s.Near.End})+
			". Mend nothing before it is found.",
		s.Symptom(r), "Hunt now? (yes, or Enter to leave it: fishplate "+path+")")
	answer, err := b.line()
	if err != nil || !strings.HasPrefix(strings.ToLower(answer), "y") {
		return nil // no answer is an answer too: the file is there
	}
	if !typedAt(b.w.in) {
		b.w.in = b.in.r // what was read ahead is the hunt's
	}
	kit := newKit()
	config := b.w.settle(b.w.now.Flags(), kit)
	if code := huntPlain(b.w, huntArgs{name: path, plain: true, kit: kit, config: config}); code != exitOK {
		return errors.New("the hunt could not go on")
	}
	return nil
}
