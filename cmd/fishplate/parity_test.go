package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
	"fishplate/tui"
	"fishplate/tui/spot"
)

// recorded is a hunt as its user lived it, and the events that make it again.
type recorded struct {
	path   string
	layout *track.Layout
	events []hunt.Event
	said   string // by the plain mode, once it was played there
}

// recordings are hunts with hidden faults, played to their ends, with the
// detours that people make: a reading that fits badly and is corrected, a skip,
// an undo and a redo, a piece looked at in vain.
func recordings(t *testing.T) []recorded {
	if tape != nil {
		return tape
	}
	var out []recorded
	seeds := map[string]uint64{"loop": 1, "dead-end": 2, "loop-siding": 1}
	if testing.Short() {
		seeds = map[string]uint64{"dead-end": 2}
	}
	for _, name := range []string{"loop", "dead-end", "loop-siding"} {
		for seed := uint64(1); seed <= seeds[name]; seed++ {
			path := filepath.Join("..", "..", "testdata", "layouts", name+".hcl")
			n := networkOf(t, path)
			b := hidden(t, n, rand.New(rand.NewPCG(seed, 11)))
			out = append(out, recorded{path: path, layout: n.Layout, events: lived(t, b)})
		}
	}
	tape = out
	return out
}

// tape holds the recordings once they were made.
var tape []recorded

func lived(t *testing.T, b *bench) []hunt.Event { return livedWith(t, b, newKit().kit) }

func livedWith(t *testing.T, b *bench, kit hunt.Kit) []hunt.Event {
	h := hunt.New(b.n.Layout, kit)
	var events []hunt.Event
	do := func(e hunt.Event) {
		require.NoError(t, h.Apply(e))
		events = append(events, e)
	}
	do(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}})
	wrong, slip := false, true // once, a piece is taken for the bad one that is not
	for step := 0; step < 60; step++ {
		s := h.View().Step
		switch {
		case s.Done != nil && wrong:
			wrong = false // not that one: the proof is bad, and bad again
			do(hunt.Event{Reading: b.read(t, b.bad, s.Done.Prove)})
			do(hunt.Event{Reading: b.read(t, b.bad, h.View().Step.Done.Prove)})
		case s.Done != nil && s.Done.Proven:
			return events
		case s.Done != nil:
			require.NotNil(t, s.Done.Prove, s.Done.Verdict)
			do(hunt.Event{Reading: b.read(t, b.good, s.Done.Prove)})
		case s.Inspect != nil:
			piece := s.Inspect.Pieces[0].Piece
			if last := s.Inspect.Pieces[len(s.Inspect.Pieces)-1].Piece; slip && last != b.fault.Suspect.Piece {
				piece = last
			}
			wrong = slip && piece != b.fault.Suspect.Piece
			slip = slip && !wrong
			if wrong || piece == b.fault.Suspect.Piece {
				do(hunt.Event{Found: piece})
			} else {
				do(hunt.Event{NotFound: piece})
			}
		case step == 1:
			do(hunt.Event{Skip: "cannot reach"})
		case step == 3: // misread: a wild value, taken back, brought back, corrected
			n := s.Ask.N
			do(hunt.Event{Reading: wild(s.Ask.Meter)})
			do(hunt.Event{Undo: 1})
			do(hunt.Event{Redo: 1})
			do(hunt.Event{Change: &hunt.Change{N: n, Reading: b.read(t, b.bad, s.Ask)}})
		default:
			do(hunt.Event{Reading: b.read(t, b.bad, s.Ask)})
		}
	}
	t.Fatal("the hunt does not end")
	return nil
}

func wild(meter string) string {
	switch meter {
	case "beeper":
		return "no"
	case "ohms":
		return "150"
	}
	return "1.1"
}

// line is an event as each front end takes it.
func plainLine(e hunt.Event) string {
	switch {
	case e.Symptom != nil:
		return strings.TrimSpace(string(e.Symptom.Kind) + " " + e.Symptom.At)
	case e.Skip != "":
		return "skip " + e.Skip
	case e.Undo > 0:
		return fmt.Sprint("undo ", e.Undo)
	case e.Redo > 0:
		return fmt.Sprint("redo ", e.Redo)
	case e.Change != nil:
		return fmt.Sprintf("change %d %s", e.Change.N, e.Change.Reading)
	case e.Found != "":
		return "found " + e.Found
	case e.NotFound != "":
		return "notfound " + e.NotFound
	}
	return e.Reading
}

func jsonLine(t *testing.T, e hunt.Event) string {
	data, err := json.Marshal(e)
	require.NoError(t, err)
	if e.Symptom != nil {
		data, err = json.Marshal(e.Symptom)
		require.NoError(t, err)
	}
	return string(data)
}

// word is what any front end must say at a point of a hunt; new cautions only,
// since each is said in full once.
type word struct{ what, text string }

// must lists what there is to be said of a view.
func must(l *track.Layout, v *hunt.View, heard map[string]bool) []word {
	var out []word
	cautions := func(list []string) {
		for _, c := range list {
			if !heard[c] {
				heard[c] = true
				out = append(out, word{"caution", c})
			}
		}
	}
	ask := func(a *hunt.Ask) {
		cautions(a.Cautions)
		out = append(out, word{"why", a.Why})
		for _, s := range a.Steps {
			out = append(out, word{"step", s})
		}
		for _, o := range a.Expect {
			out = append(out, word{"outcome", o.Shows}, word{"outcome", o.Means})
		}
		if a.OfLamp() { // eyes need no dial and no probes
			out = append(out, word{"dial", "bright, glowing or dark?"})
			return
		}
		out = append(out, word{"dial", a.Dial})
		for _, p := range []string{a.Red, a.Black} {
			w := spot.Describe(l, spot.Parse(l, p))
			out = append(out, word{"point", w.What}, word{"point", w.Where})
		}
	}
	for _, w := range v.Warnings {
		out = append(out, word{"warning", w})
	}
	switch s := &v.Step; {
	case s.Ask != nil:
		ask(s.Ask)
	case s.Inspect != nil:
		cautions(s.Inspect.Cautions)
		for _, step := range s.Inspect.Steps {
			out = append(out, word{"step", step})
		}
		out = append(out, word{"why", s.Inspect.Why})
		for _, c := range s.Inspect.Pieces {
			out = append(out, word{"piece", c.Piece})
		}
		c := s.Inspect.Pieces[0]
		out = append(out, word{"look", c.Look}, word{"lift", c.Lift}, word{"what", c.What})
	case s.Done != nil:
		out = append(out, word{"verdict", s.Done.Verdict})
		for _, step := range s.Done.Steps {
			out = append(out, word{"step", step})
		}
		if s.Done.Prove != nil {
			ask(s.Done.Prove)
		}
	}
	return out
}

// TestEveryFrontEndSaysTheSame plays recorded hunts through the plain mode, the
// lines for programs and the screens, and wants the same asks, outcomes,
// cautions, warnings and verdicts from each.
func TestEveryFrontEndSaysTheSame(t *testing.T) {
	said := map[string]int{}
	defer func() {
		for _, what := range []string{"caution", "dial", "why", "step", "outcome", "point", "warning", "piece", "look",
			"lift", "what", "verdict"} {
			assert.Positive(t, said[what], "no recording has a %s to compare", what)
		}
	}()
	list := recordings(t)
	for i := range list {
		r := &list[i]
		t.Run(fmt.Sprint(i), func(t *testing.T) {
			plain, program := r.plain(t), r.json(t)
			require.Len(t, plain, len(r.events)+1, "a part before and one behind every event")
			require.Len(t, program, len(r.events), "a line for every event")
			h := hunt.New(r.layout, newKit().kit)
			heardPlain, heardScreen := map[string]bool{}, map[string]bool{}
			for k, e := range r.events {
				require.NoError(t, h.Apply(e))
				v := h.View()
				for _, m := range must(r.layout, &v, heardPlain) {
					said[m.what]++
					assert.Contains(t, squeezed(plain[k+1]), squeezed(m.text), "plain, event %d: %s", k, m.what)
				}
				same(t, &v, program[k])
				frames := squeezed(r.frames(h))
				for _, m := range must(r.layout, &v, heardScreen) {
					assert.Contains(t, frames, squeezed(m.text), "screens, event %d: %s", k, m.what)
				}
			}
		})
	}
}

// plain plays the hunt in the plain mode and cuts its output at the prompts.
func (r *recorded) plain(t *testing.T) []string {
	return prompts.Split(r.spoken(t), -1)[1 : len(r.events)+2] // full has a part of its own
}

var prompts = regexp.MustCompile(`(?m)^(symptom|reading \d+|found or notfound|proof|done|place)> `)

// spoken is all that the plain mode says, in full.
func (r *recorded) spoken(t *testing.T) string {
	if r.said == "" {
		r.said = r.typed(t, "full")
	}
	return r.said
}

// typed is what the plain mode says to the hunt's events, with some lines before them.
func (r *recorded) typed(t *testing.T, in ...string) string {
	for _, e := range r.events {
		in = append(in, plainLine(e))
	}
	var out, errs bytes.Buffer
	save := filepath.Join(t.TempDir(), "hunt.json")
	code := run([]string{"hunt", "--plain", "--save", save, r.path}, strings.NewReader(strings.Join(in, "\n")+"\n"),
		&out, &errs)
	require.Equal(t, exitOK, code, errs.String())
	return out.String()
}

// TestBriefSaysWhatHandsNeed plays recorded hunts in the plain mode as it begins: fewer
// words than in full, and all the same every step, point, dial, caution, warning, look
// and verdict, and of each answer what it means. Every third of the recordings: that all
// of them are said alike is TestEveryFrontEndSaysTheSame's.
func TestBriefSaysWhatHandsNeed(t *testing.T) {
	list := recordings(t)
	for i := 0; i < len(list); i += 3 {
		r := &list[i]
		out := r.typed(t)
		parts := prompts.Split(out, -1)[:len(r.events)+1]
		h := hunt.New(r.layout, newKit().kit)
		heard, meant := map[string]bool{}, 0
		for k, e := range r.events {
			asked := h.View()
			require.NoError(t, h.Apply(e))
			v := h.View()
			for _, m := range must(r.layout, &v, heard) {
				if m.what != "why" && m.what != "outcome" {
					assert.Contains(t, squeezed(parts[k+1]), squeezed(m.text), "recording %d, event %d: %s", i, k,
						m.what)
				}
			}
			if a := wanted(&asked); a != nil && e.Reading != "" && (wanted(&v) == nil || wanted(&v).Aside == nil) {
				assert.Contains(t, parts[k+1], "Taken: "+shown(a, e.Reading))
				read, err := unit.Parse(e.Reading, unit.Setting(a.Meter))
				require.NoError(t, err)
				if row, ok := a.Outcome(read); ok {
					meant++
					assert.Contains(t, parts[k+1], row.Means, "recording %d, event %d", i, k)
				}
			}
		}
		assert.Positive(t, meant)
		brief, full := len(strings.Fields(out)), len(strings.Fields(r.spoken(t)))
		t.Logf("recording %d: %d words, in full %d", i, brief, full)
		assert.Less(t, brief, full*4/5)
	}
}

func (r *recorded) json(t *testing.T) []string {
	var in []string
	for _, e := range r.events {
		in = append(in, jsonLine(t, e))
	}
	var out, errs bytes.Buffer
	code := run([]string{"hunt", "--json", r.path}, strings.NewReader(strings.Join(in, "\n")+"\n"), &out, &errs)
	require.Equal(t, exitOK, code, errs.String())
	return strings.Split(strings.TrimSpace(out.String()), "\n")
}

// same compares a line for programs with a view, field by field.
func same(t *testing.T, v *hunt.View, line string) {
	kind := struct {
		Type     string
		Warnings []string
	}{}
	require.NoError(t, json.Unmarshal([]byte(line), &kind))
	assert.Equal(t, v.Warnings, kind.Warnings)
	assert.NotContains(t, line, "null")
	switch s := &v.Step; {
	case s.Ask != nil:
		a := hunt.Ask{}
		require.NoError(t, json.Unmarshal([]byte(line), &a))
		assert.Equal(t, "ask", kind.Type)
		assert.Equal(t, named(t, whole(*s.Ask)), a)
	case s.Inspect != nil:
		in := hunt.Inspect{}
		require.NoError(t, json.Unmarshal([]byte(line), &in))
		assert.Equal(t, "inspect", kind.Type)
		assert.Equal(t, *s.Inspect, in)
	case s.Done != nil:
		d := hunt.Done{}
		require.NoError(t, json.Unmarshal([]byte(line), &d))
		assert.Equal(t, "done", kind.Type)
		want := *s.Done
		if want.Prove != nil {
			p := named(t, whole(*want.Prove))
			want.Prove = &p
		}
		assert.Equal(t, want, d)
	}
}

// named is an ask by its names alone, without the points that it keeps of them.
func named(t *testing.T, a hunt.Ask) (out hunt.Ask) {
	data, err := json.Marshal(a)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, &out))
	return out
}

// frames is everything that the screens show at a point of the hunt: the
// screen itself and the pages that Tab turns to.
func (r *recorded) frames(h *hunt.Hunt) string {
	v := h.View()
	o := tui.Options{Layout: r.layout, Hunt: h, Kit: newKit().kit, KitKnown: true}
	const w, tall = 70, 300 // narrow: map and words one below the other
	out := tui.Snapshot(o, w, tall)
	if v.Step.Ask != nil {
		if len(v.Evidence) == 0 { // the cautions stand before the first reading
			out += tui.Snapshot(o, w, tall, "enter") + tui.Snapshot(o, w, tall, "enter", "tab", "tab")
		}
		out += tui.Snapshot(o, w, tall, "tab", "tab")
	}
	return out
}

var sgr = regexp.MustCompile("\x1b\\[[0-9;]*m")

// squeezed drops colours and all spaces: lines are broken in different places.
func squeezed(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || r == '│' { // a frame's sides stand between lines
			return -1
		}
		return r
	}, sgr.ReplaceAllString(s, ""))
}

// TestPlainIsPlain scans every byte of recorded plain hunts: nothing that
// moves a cursor, no frames, no dots that a screen reader would read aloud.
func TestPlainIsPlain(t *testing.T) {
	list := recordings(t)
	for i := range list {
		out := list[i].spoken(t)
		require.NotEmpty(t, out)
		for at, c := range out {
			if bad(c) {
				t.Fatalf("recording %d: %U at byte %d, after %q", i, c, at, out[max(0, at-40):at])
			}
		}
	}
}

// bad says what has no place in the plain mode: control characters (ECMA-48,
// C0 but for the line feed, and C1), The Unicode Standard's blocks Box Drawing,
// Block Elements and Braille Patterns, bidirectional controls, broken bytes.
func bad(c rune) bool {
	return (c < ' ' && c != '\n') || (c >= 0x7f && c <= 0x9f) || c == unicode.ReplacementChar ||
		(c >= 0x2500 && c <= 0x259f) || (c >= 0x2800 && c <= 0x28ff) || unicode.Is(unicode.Bidi_Control, c) ||
		unicode.Is(unicode.Co, c)
}

// A layout's own names cannot move the cursor either, wherever they are said.
func TestPlainNamesAreCleaned(t *testing.T) {
	for c := rune(0); c <= unicode.MaxRune; c++ {
		if bad(c) && c != '\n' {
			for _, r := range spoken("x" + string(c) + "y") {
				require.False(t, bad(r), "%U came through", c)
			}
		}
	}
	require.Equal(t, "Große Anlage Nr. 1 (Ω)", spoken("Große Anlage Nr. 1 (Ω)"))
}
