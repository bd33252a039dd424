package tui

import (
	"errors"
	"regexp"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/page"
	"fishplate/diagnose/piece"
	"fishplate/diagnose/stage"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"
	"fishplate/tui/build"
	"fishplate/tui/internal/rig"
	"fishplate/tui/scene"
	"fishplate/tui/spot"
)

// laying is an invented oval in two stops, and what is kept of them; the first tick fails.
func laying(kept *[]string) Options {
	l := rig.Oval(6)
	names := func(first, end int) (out []string) {
		for i := first; i <= end; i++ {
			out = append(out, l.Pieces[i].ID())
		}
		return out
	}
	silent := stage.Reading{Red: "main 1/40 center", Black: "main 1/40 left", Want: piece.Silent,
		Why: "nothing joins the rails"}
	thrown := silent
	thrown.Thrown = map[string]string{"W1": "diverging"}
	clip := stage.Reading{Red: "main 1/40 center", Black: "main 1/40 left", Want: piece.Beeps, Most: 0.7,
		Why:     "through to the clip lead and back",
		Clipped: []string{"main 9/10 left", "main 9/10 center", "main 9/10 right"}}
	last := stage.Reading{Red: "main 9/10 center", Black: "main 9/10 left", Want: piece.Silent,
		Why: "nothing joins the rails"}
	plan := &stage.Plan{Within: 10, Minutes: 9, Stages: []stage.Stage{
		{N: 1, Pieces: names(0, 8), Last: "main 9", Minutes: 5, Readings: []stage.Reading{silent, thrown, clip},
			End: 8},
		{N: 2, Pieces: names(9, 39), Last: "main 40", Minutes: 4, Open: []string{"main 40/1"},
			Readings: []stage.Reading{last}, First: 9, End: 39, Near: track.EndRef{Piece: 8, End: 1}}},
		Wiring: []stage.Wire{
			{Wires: "F1", Do: []string{"Fasten F1 to the track at main 2, both wires still off T1."},
				Caution: "Every supply unplugged.", Piece: 1,
				Readings: []stage.Reading{{Red: "main 2 center", Black: "F1 hot wire, its free end", Want: piece.Beeps,
					Most: 0.6, Why: "the hot wire is on its rail"}},
				After: "Tag it for T1.", Mend: "Look at F1."},
			{Wires: "T1 and T2", Do: []string{"Both plugs out.", "Set both handles low."},
				Caution: "Touch no pins, hold no loose plug.", Piece: -1,
				Readings: []stage.Reading{{Red: "T1 hot post", Black: "T2 hot post", Want: stage.InPhase, Most: 4,
					Why: "reversed they show the two added"}},
				After: "Both plugs out.", Mend: "Reversed: both plugs out."}}}
	o := Options{Layout: l, LayoutPath: "oval.hcl"}
	o.Build = &build.Options{Layout: l.Name, Proof: plan.Take(nil),
		Kept: "Kept in oval.hcl.build.json. Go on with: fishplate build oval.hcl",
		Done: &page.Page{Title: "All track is proven.",
			Blocks: []page.Block{{Title: "Before power", List: []string{"A lamp in series."}}}},
		Tick: func(s stage.Stop, r *stage.Reading, showed string) error {
			*kept = append(*kept, s.Name()+" "+showed)
			if len(*kept) == 1 {
				return errors.New("the disk is full")
			}
			return nil
		},
		Untick: func(r *stage.Reading) error {
			*kept = append(*kept, "not "+r.Key())
			return nil
		},
		Fail: func(s *stage.Stage, r *stage.Reading) ([]string, error) {
			return []string{s.Failed(l),
				"The layout as it is now is in oval.stage1.hcl. Mend nothing before it is found.", s.Symptom(r)}, nil
		}}
	o.Onward = func() (Options, error) { return scripted(), nil }
	return o
}

// TestBuildFrames: every page of the proof in stages, from small to large.
func TestBuildFrames(t *testing.T) {
	start := []string{"enter", "enter", "0.3", "enter"}
	for _, way := range []struct {
		name string
		keys []string
	}{
		{"ready", nil},
		{"lay", []string{"enter", "enter", "0.3", "enter"}},
		{"first", append(start, "enter", "0.4")},
		{"once-more", append(start, "enter", "0.4", "enter")},
		{"failed", append(start, "enter", "0.4", "enter", "0.4", "enter")},
		{"clip", append(start, "enter", "0", "enter", "0", "enter", "0", "enter")},
		{"large", append(start, "enter", "g")},
		{"large-clip", append(start, "enter", "g", "0", "enter", "0", "enter", "0", "enter")},
		{"list", append(start, "enter", "0", "enter", "0", "enter", "tab")},
		{"close", append(start, "enter", "0", "enter", "0", "enter", "0", "enter", "1", "enter", "enter", "0",
			"enter")},
		{"wire", append(start, "enter", "0", "enter", "0", "enter", "0", "enter", "1", "enter", "enter", "0", "enter",
			"enter")},
		{"wire-read", append(start, "enter", "0", "enter", "0", "enter", "0", "enter", "1", "enter", "enter", "0",
			"enter", "enter", "enter")},
		{"wire-bad", append(start, "enter", "0", "enter", "0", "enter", "0", "enter", "1", "enter", "enter", "0",
			"enter", "enter", "enter", "0", "enter", "0", "enter")},
		{"phase", append(start, "enter", "0", "enter", "0", "enter", "0", "enter", "1", "enter", "enter", "0", "enter",
			"enter", "enter", "1", "enter", "enter", "enter", "13")},
		{"proven", append(start, "enter", "0", "enter", "0", "enter", "0", "enter", "1", "enter", "enter", "0", "enter",
			"enter", "enter", "1", "enter", "enter", "enter", "0.4", "enter", "enter")},
	} {
		for _, size := range sizes {
			var kept []string
			keys := way.keys
			if size[1] > 20 && len(keys) > 1 {
				keys = keys[1:] // what is made ready has one page there
			}
			holdsFrame(t, "build-"+way.name, laying(&kept), size, keys...)
		}
	}
}

// TestBuildScreen: what was good is kept before the next is asked for, a bad answer counts
// when it comes twice, the last good one is taken back, hands are told to take the clip lead
// off, and a stop that fails leads to its hunt.
func TestBuildScreen(t *testing.T) {
	var kept []string
	o := laying(&kept)
	o.defaults()
	a := newApp(o)
	settle(a, a.Init())
	send(a, tea.WindowSizeMsg{Width: 80, Height: 24})
	seen := func() string { return strings.Join(strings.Fields(trimmed(a.View())), " ") }
	do := func(keys ...string) { typeInto(a, 80, 24, keys) }
	do("enter", "7", "enter")
	assert.Contains(t, seen(), "That is no pair of leads")
	do("0.3", "enter")
	assert.Contains(t, seen(), "LAY main 1 to 9")
	assert.Contains(t, seen(), "No supply, no feeder")
	do("enter", "OL")
	assert.Contains(t, seen(), "= good: as it must be")
	do("enter")
	assert.Contains(t, seen(), "the disk is full")
	assert.Contains(t, seen(), "ticked 0 of 6", "not kept, not ticked")
	do("OL", "enter")
	assert.Equal(t, []string{"main 9 OL", "main 9 OL"}, kept)
	assert.Contains(t, seen(), "1 Throw W1 to diverging.")
	do("20k", "enter", "0", "enter")
	assert.Contains(t, seen(), "1 Throw W1 back to through. 2 Lay the clip lead across main 9/10 left, center and "+
		"right.")
	assert.Contains(t, seen(), "MUST beeps, at most 0.7 ohm over the leads: 1.0 as shown")
	do("1.1")
	assert.Contains(t, seen(), "= BAD: not as it must be")
	do("esc", "u")
	assert.Equal(t, "not main 1/40 center|main 1/40 left||W1 diverging", kept[len(kept)-1])
	assert.Contains(t, seen(), "1 Take the clip lead off main 9/10 left, center and right. 2 Throw W1 to diverging.")
	do("0", "enter", "0.9", "enter", "tab")
	assert.Contains(t, seen(), "[x] clip lead across main 9/10")
	assert.Contains(t, seen(), "[ ] red on main 9/10 center")
	do("tab", "enter")
	assert.Contains(t, seen(), "KEEP joint main 40/1 open")
	do("1", "enter", "1")
	assert.Contains(t, seen(), "= BAD again: this stop fails")
	do("enter")
	assert.Contains(t, seen(), "STOP 2 FAILS")
	assert.Contains(t, seen(), "Mend nothing before it is found")
	do("esc", "1", "enter", "1", "enter", "h")
	assert.Equal(t, scene.Symptom, a.at)
}

// TestAround: the list leads from a hunt to work around it, and q leads back.
func TestAround(t *testing.T) {
	var kept []string
	o := scripted()
	o.ToAround = func(id scene.ID) (Options, error) {
		if id != scene.Build {
			return Options{}, errors.New("no such work")
		}
		next := laying(&kept)
		next.Home = func() (Options, error) {
			back := scripted()
			back.Greeting = "Kept in oval.hcl.build.json."
			return back, nil
		}
		return next, nil
	}
	o.defaults()
	a := newApp(o)
	settle(a, a.Init())
	typeInto(a, 80, 24, []string{"a", "1"})
	assert.Contains(t, trimmed(a.View()), "that writes into a file")
	assert.Equal(t, scene.Around, a.at)
	typeInto(a, 80, 24, []string{"2"})
	assert.Equal(t, scene.Build, a.at)
	typeInto(a, 80, 24, []string{"q"})
	assert.Equal(t, scene.Symptom, a.at)
	assert.Contains(t, trimmed(a.View()), "Kept in oval.hcl.build.json.")
}

// TestBuildInSight: on the layout that comes with the program every act, both places, what
// must be and the first caution come into view for every reading, by turning leaves alone,
// also in large letters.
func TestBuildInSight(t *testing.T) {
	l := demoWith(t, "")
	plan, err := stage.Make(l, stage.Options{Seed: 1})
	require.NoError(t, err)
	planInSight(t, l, plan)
}

// boards are the demo as if its far side came on boards of its own.
const boards = `
module "back" {
  from = "main 11"
  to   = "main 25"
}
module "pit" {
  from = "spur 2"
  to   = "spur 8"
}
`

// demoWith is the demo with more lines in its file.
func demoWith(t *testing.T, more string) *track.Layout {
	name, text := layoutfile.Demo()
	f, problems := layoutfile.Read(name, append(text, more...))
	require.NotNil(t, f, "%v", problems)
	return f.Layout
}

// TestSetupInSight: the same of boards that are set up.
func TestSetupInSight(t *testing.T) {
	l := demoWith(t, boards)
	plan, err := stage.Modules(l)
	require.NoError(t, err)
	planInSight(t, l, plan)
}

// TestSetupFrames: a portable layout as it is set up, from small to large.
func TestSetupFrames(t *testing.T) {
	for _, way := range []struct {
		name string
		keys []string
	}{
		{"ready", nil},
		{"board", []string{"enter", "enter", "0.3", "enter"}},
		{"reading", []string{"enter", "enter", "0.3", "enter", "enter", "down"}},
		{"list", []string{"enter", "enter", "0.3", "enter", "tab"}},
	} {
		for _, size := range sizes {
			l := demoWith(t, boards)
			plan, err := stage.Modules(l)
			require.NoError(t, err)
			o := Options{Layout: l, Build: &build.Options{Layout: l.Name, Proof: plan.Take(nil)}}
			holdsFrame(t, "setup-"+way.name, o, size, way.keys...)
		}
	}
}

// onTrack says whether both probes of a stop are on rails.
func onTrack(s stage.Stop) bool {
	w, wires := s.(*stage.Wire)
	return !wires || w.Board
}

// planInSight goes through a plan and looks for all that hands need.
func planInSight(t *testing.T, l *track.Layout, plan *stage.Plan) {
	for _, size := range [][2]int{{40, 15}, {40, 20}, {80, 24}, {200, 60}} {
		for _, large := range []bool{false, true} {
			proof := plan.Take(nil)
			a := newApp(Options{Layout: l, Build: &build.Options{Layout: l.Name, Proof: proof, Big: large}})
			if typeInto(a, size[0], size[1], []string{"enter"}); size[0] == 40 { // two pages there
				typeInto(a, size[0], size[1], []string{"enter"})
			}
			typeInto(a, size[0], size[1], []string{"0.3", "enter"})
			var before *stage.Reading
			for range 40 {
				stop, r := proof.Next()
				if r == nil {
					break
				}
				for page := regexp.MustCompile("enteritis(laid|closed|done)|moreenter"); page.MatchString(
					letters(trimmed(a.View()))); {
					typeInto(a, size[0], size[1], []string{"enter"})
				}
				seen := ""
				for range 12 { // more leaves than any reading has
					seen += letters(trimmed(a.View()))
					typeInto(a, size[0], size[1], []string{"down"})
				}
				for _, want := range append(r.Acts(before), r.Must(0.3), r.Why) {
					require.Contains(t, seen, letters(want), "%v large %v: %s", size, large, r.Say())
				}
				if !large || len(r.Acts(before)) > 0 {
					require.Contains(t, seen, letters(hunt.Brief(stop.Care())), "%v large %v", size, large)
				}
				if !large && onTrack(stop) {
					for _, p := range []string{r.Red, r.Black} {
						d := spot.Describe(l, spot.Parse(l, p))
						require.Contains(t, seen, letters(d.What), "%v: %s", size, p)
					}
				}
				before = r
				good := map[piece.Kind]string{piece.Silent: "0", piece.Beeps: "0.5", stage.InPhase: "0.2",
					stage.Positive: "12"}[r.Want]
				typeInto(a, size[0], size[1], []string{good, "enter"})
			}
			good, all := proof.Count()
			require.Equal(t, all, good, "%v large %v", size, large)
		}
	}
}
