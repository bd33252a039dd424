package panel

import (
	"fmt"
	"slices"
	"strings"

	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
	"fishplate/diagnose/wiring"
)

// Step is one thing that hands do where a panel is joined.
type Step struct {
	Wire   int // of All
	Text   string
	Solder bool   // it is fastened now
	Key    string // what is kept of it
}

// Take goes on with a panel: written names the terminals that were put into the layout's
// file to be joined, and done holds the keys of what hands did.
func (p *Plan) Take(l *track.Layout, written, done []string) *Plan {
	for i := range l.Terminals {
		if t := &l.Terminals[i]; slices.Contains(written, t.Name) {
			p.begun = append(p.begun, Wire{Name: t.Name, Place: l.PlaceName(t.At), Hot: t.Hot, Common: t.Common,
				LengthMM: t.LengthMM, At: t.At})
			p.Labels = append(p.Labels, wiring.Sense(l, t).Labels...)
		}
	}
	for _, key := range done {
		if strings.HasPrefix(key, kept) && !slices.Contains(p.Done, key) {
			p.Done = append(p.Done, key)
		}
	}
	return p
}

// Begun says how many wires stand in the file by now, to be joined.
func (p *Plan) Begun() int { return len(p.begun) }

// NoMore is the plan without a wire more than those in the file.
func (p *Plan) NoMore() *Plan {
	q := *p
	q.Wires, q.After = nil, p.Left[0]
	return &q
}

// All are the wires to join: those that stand in the file by now, then the plan's.
func (p *Plan) All() []Wire { return slices.Concat(p.begun, p.Wires) }

// Where is a wire in words, for what is kept of it.
func (w *Wire) Where() string { return fmt.Sprintf("%s %s, %s", w.Name, w.Place, w.rails()) }

func (w *Wire) rails() string {
	var out []string
	for _, r := range []track.Rail{w.Hot, w.Common} {
		if r != "" {
			out = append(out, string(r))
		}
	}
	return strings.Join(out, " and ")
}

// kept begins the key of every step, and fastened ends that of one that fastens a wire.
const kept, fastened = "panel: ", ": fastened"

// Steps is the order of hands: fasten, beep, next.
func (p *Plan) Steps() []Step {
	var out []Step
	for i, w := range p.All() {
		where, ends := w.Where(), []string{"", ""}
		for k, r := range []track.Rail{w.Hot, w.Common} {
			if r != "" {
				ends[k] = fmt.Sprintf(", %s on %s", side(k), r)
			}
		}
		text := fmt.Sprintf("%s: fasten it under %s, where no wheel, pin or joiner comes%s%s; label both ends.", w.Name,
			w.Place, ends[0], ends[1])
		out = append(out, Step{i, text, true, kept + where + fastened})
		for k, r := range []track.Rail{w.Hot, w.Common} {
			if r == "" {
				continue
			}
			text := fmt.Sprintf("%s %s at the block to %s %s on the track: beeps.", w.Name, side(k), w.Place, r)
			if k == 1 && w.Hot != "" {
				text += fmt.Sprintf(" %s hot to %s common: silent, with lamps and coils off the track and the "+
					"supply's wires off its posts: its winding beeps.", w.Name, w.Name)
			}
			out = append(out, Step{i, text, false, fmt.Sprintf("%s%s: %s beeps", kept, where, side(k))})
		}
	}
	return out
}

func side(k int) string { return [2]string{"hot", "common"}[k] }

// Did says whether a step was done.
func (p *Plan) Did(s *Step) bool { return slices.Contains(p.Done, s.Key) }

// Stands says how much of the joining was done.
func (p *Plan) Stands() string {
	steps, did := p.Steps(), 0
	for i := range steps {
		if p.Did(&steps[i]) {
			did++
		}
	}
	return fmt.Sprintf("%s; %d of %d steps are done.", unit.Count(len(p.All()), "pair"), did, len(steps))
}

// Next is the first step that was not done, -1 where all were.
func (p *Plan) Next() int {
	return slices.IndexFunc(p.Steps(), func(s Step) bool { return !p.Did(&s) })
}

// Does takes a step as done, or takes it back.
func (p *Plan) Does(s *Step, done bool) {
	p.Done = slices.DeleteFunc(slices.Clone(p.Done), func(key string) bool { return key == s.Key })
	if done {
		p.Done = append(p.Done, s.Key)
	}
}

// Joined is how much of a wire of All was done, in words; empty for nothing.
func (p *Plan) Joined(wire int) string {
	did, all := 0, 0
	for _, s := range p.Steps() {
		if s.Wire == wire {
			all++
			if p.Did(&s) {
				did++
			}
		}
	}
	switch did {
	case 0:
		return ""
	case all:
		return "joined"
	}
	return fmt.Sprintf("%d of %d steps done", did, all)
}

// Elsewhere says which wires were fastened where this plan has none; empty for none.
func (p *Plan) Elsewhere() string {
	var out []string
	steps := p.Steps()
	for _, key := range p.Done {
		where, is := strings.CutSuffix(key, fastened)
		if is && !slices.ContainsFunc(steps, func(s Step) bool { return s.Key == key }) {
			out = append(out, strings.TrimPrefix(where, kept))
		}
	}
	if len(out) == 0 {
		return ""
	}
	return "Fastened before, and not in this plan: " + strings.Join(out, "; ") +
		". Go on with as many pairs as then; or the layout was changed: give its file these terminals by hand."
}
