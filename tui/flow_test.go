package tui

import (
	"errors"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
	"fishplate/tui/around"
	"fishplate/tui/asking"
	"fishplate/tui/done"
	"fishplate/tui/internal/rig"
	"fishplate/tui/scene"
)

// at brings the screens somewhere and gives them with the scripted hunt.
func at(o Options, keys ...string) (*app, *rig.Script) {
	o.defaults()
	a := newApp(o)
	settle(a, a.Init())
	send(a, tea.WindowSizeMsg{Width: 80, Height: 24})
	press(a, keys...)
	return a, a.hunt.(*rig.Script)
}

func press(a *app, keys ...string) {
	for _, k := range keys {
		a.View()
		for _, m := range keyMsgs(k) {
			send(a, m)
		}
	}
}

func typed(a *app) string { return a.screens[scene.Hunt].(*asking.Model).Typed() }

// TestBurst: keys that come in one read do what single keys do.
func TestBurst(t *testing.T) {
	a, _ := at(scripted(), "1", "enter", "enter", "1")
	press(a, "212 mV") // one message with six runes
	assert.Equal(t, "212 mV", typed(a))

	a, _ = at(scripted(), "1", "enter", "enter")
	press(a, "0.4") // the lone 0 does not become "silent" while more follows
	assert.Equal(t, "0.4", typed(a))

	a, s := at(scripted(), "1", "enter", "enter", "1")
	press(a, "uwq") // undo, then why, then leave: each on the screen it finds
	assert.Equal(t, scene.Why, a.at)
	assert.Len(t, s.Events, 1)
}

// TestPaste: what is pasted goes into the line whole, also on an empty one.
func TestPaste(t *testing.T) {
	a, s := at(scripted(), "1", "enter", "enter")
	send(a, tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("ue 1.2k"), Paste: true})
	assert.Equal(t, "ue 1.2k", typed(a))
	assert.Len(t, s.Events, 1)
}

// TestOneKey: on a beeper a lone 1 needs no Enter; on millivolts it waits.
func TestOneKey(t *testing.T) {
	a, s := at(scripted(), "1", "enter", "enter", "1")
	require.Len(t, s.Events, 2)
	assert.Equal(t, "beep", s.Events[1].Reading)
	assert.Equal(t, "", typed(a))
	press(a, "1")
	assert.Equal(t, "1", typed(a))
	assert.Len(t, s.Events, 2)
}

// TestOneKeyInAProof: the proof by beeper is answered by the same one key.
func TestOneKeyInAProof(t *testing.T) {
	a, s := at(scripted(), "1", "enter", "enter", "1", "40", "enter", "0", "1", "+", "1", "enter")
	require.Equal(t, scene.Done, a.at)
	require.Equal(t, "beeper", a.sc.View.Step.Done.Prove.Meter)
	n := len(s.Events)
	press(a, "0")
	require.Len(t, s.Events, n+1, "no Enter")
	assert.Equal(t, "no", s.Events[n].Reading)
}

// TestEnterBehindADigit: a lone digit goes off by itself. An Enter that comes a moment
// later was meant for it, and does not turn the next reading's steps over unread; later
// ones do.
func TestEnterBehindADigit(t *testing.T) {
	for _, quick := range []bool{true, false} {
		a, s := at(scripted(), "1", "enter", "enter")
		_, c := a.Update(keyMsgs("1")[0])
		tick := c()
		_, c = a.Update(tick)
		require.Len(t, s.Events, 1, "on its way")
		_, c = a.Update(c())
		require.Len(t, s.Events, 2)
		if !quick { // the time is over
			settle(a, c)
		}
		_, c = a.Update(tea.KeyMsg{Type: tea.KeyEnter})
		settle(a, c)
		assert.Equal(t, !quick, strings.Contains(trimmed(a.View()), "type what the meter shows, then Enter"))
		press(a, "enter")
		assert.Contains(t, trimmed(a.View()), "type what the meter shows, then Enter")
	}
}

// rising is a hunt in which each reading puts more in question.
type rising struct{ *rig.Script }

func (r rising) View() hunt.View {
	v := r.Script.View()
	v.Hidden95 = 2 + 3*len(v.Evidence)
	return v
}

// TestLeftGoesUp: that more is left than before a reading is said, until the next key.
func TestLeftGoesUp(t *testing.T) {
	o := scripted()
	start := o.Start
	a, _ := at(o, "1", "enter", "enter", "1")
	assert.NotContains(t, trimmed(a.View()), "left went up")
	o.Start = func(k hunt.Kit) Hunter { return rising{start(k).(*rig.Script)} }
	o.defaults()
	a = newApp(o)
	settle(a, a.Init())
	send(a, tea.WindowSizeMsg{Width: 40, Height: 20})
	press(a, "1", "enter", "enter", "1")
	assert.Contains(t, strings.Join(strings.Fields(trimmed(a.View())), " "),
		"left went up, from 2 to 5: that speaks against")
	press(a, "4")
	assert.NotContains(t, trimmed(a.View()), "left went up")
}

// TestRefusedKeepsTyping: a reading that makes no sense stays in the line.
func TestRefusedKeepsTyping(t *testing.T) {
	a, s := at(scripted(), "1", "enter", "enter", "nonsense", "enter")
	assert.Equal(t, "nonsense", typed(a))
	assert.Contains(t, trimmed(a.View()), `! "nonsense" is no reading`)
	assert.Len(t, s.Events, 1)
	press(a, "ctrl+u", "no", "enter")
	assert.Equal(t, "", typed(a))
	assert.Len(t, s.Events, 2)
}

// TestThinking: while the hunt computes keys go on working, what is typed is
// kept, and an answer to a reading not yet seen is not sent.
func TestThinking(t *testing.T) {
	a, s := at(scripted(), "1", "enter", "enter", "1")
	_, slow := a.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("40")})
	settle(a, slow)
	_, slow = a.Update(tea.KeyMsg{Type: tea.KeyEnter}) // not run yet: the hunt is thinking
	require.True(t, a.busy)
	assert.Contains(t, trimmed(a.View()), "thinking")
	press(a, "ctrl+u", "77", "enter")
	assert.Equal(t, "77", typed(a))
	assert.Contains(t, trimmed(a.View()), "your typing is kept")
	require.Len(t, s.Events, 2, "nothing was handed on yet")
	press(a, "w")
	settle(a, slow)
	assert.False(t, a.busy)
	assert.Len(t, s.Events, 3)
	assert.Equal(t, "77w", typed(a), "typed while thinking")
}

// TestOrder: an undo during a computation waits for it and comes second.
func TestOrder(t *testing.T) {
	a, s := at(scripted(), "1", "enter", "enter")
	_, slow := a.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("no")})
	settle(a, slow)
	_, slow = a.Update(tea.KeyMsg{Type: tea.KeyEnter})
	press(a, "ctrl+u", "u")
	require.Len(t, a.waiting, 1)
	settle(a, slow)
	assert.Len(t, s.Events, 1, "the answer went in and was taken back")
	assert.Equal(t, 1, a.sc.View.Step.Ask.N)
	assert.False(t, a.busy)
}

// TestMenuStays: the hunt's first answer, late on a slow machine, does not shut the list
// that was opened meanwhile, whose next digit would say what is wrong.
func TestMenuStays(t *testing.T) {
	o := scripted()
	o.Around = []around.Row{{ID: scene.Piece, Says: "pieces on the bench"}}
	o.defaults()
	a := newApp(o)
	slow := a.Init()
	send(a, tea.WindowSizeMsg{Width: 80, Height: 24})
	press(a, "a")
	require.Equal(t, scene.Around, a.at)
	settle(a, slow)
	assert.False(t, a.busy)
	assert.Equal(t, scene.Around, a.at)
	press(a, "esc")
	assert.Equal(t, scene.Symptom, a.at)
}

// TestStale: an answer of an older revision changes nothing.
func TestStale(t *testing.T) {
	a, _ := at(scripted(), "1", "enter", "enter", "1")
	before := a.sc.View.Step.Ask.N
	send(a, computed{revision: a.revision - 1, view: hunt.View{}})
	require.NotNil(t, a.sc.View.Step.Ask)
	assert.Equal(t, before, a.sc.View.Step.Ask.N)
}

// TestSave: the journal is handed over after every event that went in, and
// only then; a failure is said and goes away when saving works again.
func TestSave(t *testing.T) {
	var saved []string
	fail := false
	o := scripted()
	o.Save = func(b []byte) error {
		if fail {
			return errors.New("disk full")
		}
		saved = append(saved, string(b))
		return nil
	}
	a, _ := at(o, "1", "enter", "enter", "1", "junk", "enter")
	require.Len(t, saved, 2, "symptom and one reading; junk is none")
	assert.Contains(t, saved[1], "beep")
	fail = true
	press(a, "ctrl+u", "40", "enter", "esc")
	press(a, "tab")
	assert.Contains(t, trimmed(a.View()), "could not save the hunt: disk full")
	fail = false
	press(a, "esc", "u", "down")
	assert.NotContains(t, trimmed(a.View()), "disk full")
}

// TestKit: the kit is asked for once, before the first reading, and goes to
// the hunt; later the hunt goes on with what is new.
func TestKit(t *testing.T) {
	a, s := at(scripted(), "1")
	require.Equal(t, scene.Kit, a.at)
	assert.Empty(t, s.Events)
	press(a, "6", "enter")
	assert.False(t, a.hunt.(*rig.Script).Kit.Lamp)
	assert.True(t, a.hunt.(*rig.Script).Kit.Beeper)
	press(a, "enter", "k")
	require.Equal(t, scene.Kit, a.at)
	press(a, "6", "enter")
	assert.NotEqual(t, scene.Kit, a.at)
	assert.True(t, a.hunt.(*rig.Script).Kit.Lamp, "bought meanwhile")
	assert.True(t, a.sc.Kit.Lamp)
	assert.Len(t, s.Events, 0)
	assert.NotEmpty(t, a.hunt.(*rig.Script).Events, "the same hunt")

	a, _ = at(scripted(), "1", "1", "1", "1", "2", "3", "4", "6", "enter")
	assert.Equal(t, scene.Kit, a.at, "a kit that measures nothing is refused")
	assert.Contains(t, trimmed(a.View()), "choose at least one thing")

	o := scripted()
	o.KitKnown = true
	a, _ = at(o, "1")
	assert.Equal(t, scene.Caution, a.at, "not asked when it is known")

	a, s = at(scripted(), "1", "esc")
	assert.Equal(t, scene.Symptom, a.at)
	assert.Empty(t, s.Events)
}

// TestResume: a hunt that was begun goes on where it was.
func TestResume(t *testing.T) {
	o := scripted()
	o.KitKnown = true
	o.Hunt = &rig.Script{L: o.Layout, Events: []hunt.Event{{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}},
		{Reading: "beep"}}}
	o.Greeting = "going on"
	frame := Snapshot(o, 80, 24)
	assert.Contains(t, frame, "reading 2")
	assert.Contains(t, frame, "going on")
}

// TestEvidence: an earlier reading is changed and removed; both can be undone.
func TestEvidence(t *testing.T) {
	a, s := at(scripted(), "1", "enter", "enter", "1", "40", "enter", "e", "enter")
	press(a, "ctrl+u", "junk", "enter")
	assert.Contains(t, trimmed(a.View()), "SHOWED > junk")
	press(a, "ctrl+u", "no", "enter")
	require.NotNil(t, s.Events[3].Change)
	assert.Equal(t, hunt.Change{N: 1, Reading: "no"}, *s.Events[3].Change)
	press(a, "x")
	assert.Equal(t, hunt.Change{N: 1}, *s.Events[4].Change)
	press(a, "u", "u")
	assert.Len(t, s.Events, 3)
	assert.Equal(t, "beep", a.sc.View.Evidence[0].Reading)
	press(a, "esc")
	assert.Equal(t, scene.Hunt, a.at)
}

// TestToTheEnd: a whole hunt: inspect, not found, found, proof, undo.
func TestToTheEnd(t *testing.T) {
	a, s := at(scripted(), "2", "right", "right", "enter", "enter", "enter", "1", "40", "enter", "0", "1")
	require.Equal(t, hunt.Symptom{Kind: hunt.SymptomShortTrain, At: "main 3"}, *s.Events[0].Symptom)
	require.Equal(t, scene.Inspect, a.at)
	events := len(s.Events)
	press(a, "1", "down")
	assert.Contains(t, trimmed(a.View()), "= "+a.sc.View.Step.Inspect.Pieces[1].Piece+" was the bad one",
		"the line means the piece that is chosen")
	press(a, "esc", "enter", "0")
	require.Len(t, s.Events, events, "a digit alone says nothing here")
	press(a, "enter")
	require.NotEmpty(t, s.Events[events].NotFound)
	require.Equal(t, scene.Inspect, a.at)
	press(a, "fine", "enter")
	assert.Contains(t, trimmed(a.View()), "YOU SAW  fine", "a refused line stays")
	press(a, "esc", "1", "enter")
	require.Equal(t, scene.Done, a.at)
	press(a, "nix", "enter")
	assert.Contains(t, trimmed(a.View()), "METER SHOWS  nix")
	press(a, "ctrl+u", "no", "enter")
	assert.Contains(t, trimmed(a.View()), "PROVEN")
	press(a, "u", "u")
	assert.Equal(t, scene.Inspect, a.at)
	press(a, "u", "u", "u", "u", "u", "u", "u", "u")
	assert.Equal(t, scene.Symptom, a.at)
	assert.Empty(t, s.Events)
}

// TestEsc leads back from every screen to the main one, and never out.
func TestEsc(t *testing.T) {
	for _, way := range ways {
		a, _ := at(scripted(), way.keys...)
		for k := 0; k < 6; k++ {
			press(a, "esc")
		}
		assert.Equal(t, a.main(), a.at, way.name)
	}
}

// TestHelpIsTrue: each key that the footer shows is also in the help, with
// what it does.
func TestHelpIsTrue(t *testing.T) {
	seen := map[string]bool{}
	for _, way := range ways {
		a, _ := at(scripted(), way.keys...)
		if a.at == scene.Help || a.tour != nil {
			continue
		}
		send(a, tea.WindowSizeMsg{Width: 120, Height: 100})
		if typing(a.screens[a.at]) { // a letter like the others
			assert.NotContains(t, trimmed(a.View()), "? help", string(a.at))
			continue
		}
		name, keys := string(a.at), a.screens[a.at].Keys(&a.sc)
		require.NotEmpty(t, keys, name)
		seen[name] = true
		press(a, "?")
		frame := trimmed(a.View())
		for _, k := range keys {
			assert.Contains(t, frame, strings.Fields(k.Does)[0], name)
			assert.Contains(t, frame, k.Press, name)
		}
	}
	require.Greater(t, len(seen), 5, "%v", seen)
}

// TestMouse: off at first; a click chooses a piece.
func TestMouse(t *testing.T) {
	a, _ := at(scripted(), "3")
	a.View()
	x, y := -1, -1
	for i, l := range strings.Split(trimmed(a.View()), "\n") {
		if k := strings.Index(l, "tunnel mouth"); k >= 0 {
			x, y = len([]rune(l[:k])), i
		}
	}
	require.GreaterOrEqual(t, x, 0)
	send(a, tea.MouseMsg{X: x, Y: y + 1, Action: tea.MouseActionPress, Button: tea.MouseButtonLeft})
	frame := trimmed(a.View())
	assert.NotContains(t, frame, "chosen: main 1 (")
	assert.Contains(t, frame, "chosen: main 2", "a piece near the tunnel mouth")
}

// TestLettersBeginNoAnswer: a letter that is a command on an empty line begins
// none of the words that a meter or a person says.
func TestLettersBeginNoAnswer(t *testing.T) {
	for _, word := range []string{"beep", "b", "yes", "tone", "lit", "on", "true", "no", "n", "silent", "none",
		"nothing", "dark", "off", "false",
		"ol", "over", "overload", "inf", "open", "0.4", ".5", "-3 mV", "+2", "1.2k"} {
		a, _ := at(scripted(), "1", "enter", "enter")
		press(a, word)
		assert.Equal(t, word, typed(a))
		assert.Equal(t, scene.Hunt, a.at, word)
	}
}

// TestProofLine: on the proof's empty line a letter is a command, begins an
// answer, or is refused with a word; none piles up as text. Why shows the
// proof, and what cannot be taken is left out.
func TestProofLine(t *testing.T) {
	toProof := []string{"1", "enter", "enter", "1", "40", "enter", "0", "1", "n", "enter", "f", "enter"}
	line := func(a *app) string { return a.screens[scene.Done].(*done.Model).Typed() }
	for _, word := range []string{"beep", "b", "yes", "tone", "lit", "on", "true", "no", "n", "silent", "none",
		"nothing", "dark", "off", "false",
		"ol", "OL", "over", "overload", "inf", "open", "0.4", ".5", "-3 mV", "+2", "1.2k"} {
		a, _ := at(scripted(), toProof...)
		press(a, word)
		require.Equal(t, scene.Done, a.at, word)
		assert.Equal(t, word, line(a))
		press(a, "esc")
		assert.Equal(t, "", line(a))
	}
	for _, k := range []string{"x", "g", "*", "k", "a", "m", "v", "z", "é"} {
		a, s := at(scripted(), toProof...)
		n := len(s.Events)
		press(a, k)
		assert.Equal(t, "", line(a), k)
		assert.Equal(t, scene.Done, a.at, k)
		assert.Len(t, s.Events, n, k)
		assert.NotEmpty(t, a.say, k)
	}
	a, s := at(scripted(), append(toProof, "w")...)
	require.Equal(t, scene.Why, a.at)
	assert.Contains(t, trimmed(a.View()), "silence between the two sides proves the repair")
	assert.NotContains(t, trimmed(a.View()), "Suspected now")
	press(a, "3")
	assert.Contains(t, trimmed(a.View()), "put the piece back")
	press(a, "esc", "/", "esc")
	require.Equal(t, scene.Done, a.at)
	for _, keys := range [][]string{{"c"}, {".", "enter"}} {
		press(a, keys...)
		require.Equal(t, "cannot reach", s.Events[len(s.Events)-1].Skip)
		assert.Equal(t, "", line(a))
	}
	press(a, "nox", "-", "enter")
	assert.Equal(t, "no", s.Events[len(s.Events)-1].Reading)
	assert.Contains(t, trimmed(a.View()), "PROVEN")
}

// TestWhichProbe: c asks which probe cannot get there, and tells the hunt; any key
// that names none calls it off, and so does another reading.
func TestWhichProbe(t *testing.T) {
	for key, want := range map[string]hunt.Event{"r": {Skip: "cannot reach with red", Probe: hunt.RedProbe},
		"b": {Skip: "cannot reach with black", Probe: hunt.BlackProbe}, "c": {Skip: "cannot reach"},
		"enter": {Skip: "cannot reach"}} {
		a, s := at(scripted(), "1", "enter", "enter", "c")
		assert.Contains(t, trimmed(a.View()), "Can't reach: r red's place")
		press(a, key)
		assert.Equal(t, want, s.Events[len(s.Events)-1], key)
	}
	a, s := at(scripted(), "1", "enter", "enter", "c", "esc")
	assert.NotContains(t, trimmed(a.View()), "Can't reach")
	assert.Len(t, s.Events, 1, "only the symptom")
	press(a, "4")
	assert.Equal(t, "4", typed(a))
}

// A proof that is bad for good leads to the next reading, and the screen says why; one
// that is asked for once more says nothing of its own.
func TestBadProofIsTold(t *testing.T) {
	odd, repaired := "reading 2 fits badly", "repaired main 9, and something is still wrong"
	was := hunt.View{Step: hunt.Step{Done: &hunt.Done{}}, Warnings: []string{odd}}
	once := hunt.View{Step: hunt.Step{Done: &hunt.Done{}}, Warnings: []string{odd}}
	on := hunt.View{Step: hunt.Step{Ask: &hunt.Ask{}}, Warnings: []string{odd, repaired}}
	assert.Empty(t, notEnough(&was, &once))
	assert.Equal(t, repaired, notEnough(&was, &on))
	assert.Empty(t, notEnough(&on, &on), "said once")
}
