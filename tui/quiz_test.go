package tui

import (
	"errors"
	"math/rand/v2"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	practice "fishplate/diagnose/drill"
	"fishplate/diagnose/drill/coach"
	classroom "fishplate/diagnose/drill/quiz"
	"fishplate/diagnose/drill/sitting"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/tui/quiz"
)

// before is a quiz on a bridge in main 9 of the branch of the lessons.
func before(t *testing.T) Options {
	l := (&drillKeeper{t: t}).layout()
	return Options{Layout: l, LayoutPath: "branch.hcl", Quiz: &quiz.Options{Number: 7, Begin: func() *classroom.Quiz {
		o := practice.Options{Difficulty: practice.Easy, Told: "It trips.",
			Kit:  hunt.Kit{Beeper: true, Volts: true, Millivolts: true, Lamp: true},
			Hide: []practice.Hide{{Mode: track.Bridged, Part: "piece", Run: "main", From: 9, To: 9}}}
		d, err := practice.New(l, o, rand.New(rand.NewPCG(5, 6)))
		require.NoError(t, err)
		return classroom.New(sitting.New(d, coach.Silent, nil, [16]byte{1}))
	}}}
}

// TestQuizFrames: every page of a quiz, from small to as large as a wall.
func TestQuizFrames(t *testing.T) {
	setUp := []string{"enter", "enter", "train off", "enter", "enter", "supply lamp", "enter", "enter"}
	called := append(append([]string(nil), setUp...), "red: volts T1", "enter", "blue: mv T1 hot to main 12 center",
		"enter")
	besides := append(append([]string(nil), called...), "enter")
	for _, way := range []struct {
		name string
		keys []string
	}{
		{"told", nil},
		{"rules", []string{"enter"}},
		{"calls", called},
		{"beside", besides},
		{"shows", append(append([]string(nil), besides...), "enter")},
		{"found", append(append([]string(nil), setUp...), "supply off", "enter", "enter", "accuse main 9",
			"enter", "enter", "enter", "enter")},
	} {
		for _, size := range sizes {
			holdsFrame(t, "quiz-"+way.name, before(t), size, way.keys...)
		}
	}
}

// TestQuizScreen: what cannot be taken stays in the line, the caution of the lamp stands
// when it is lit, Esc takes a call back, the newest call is in sight in a small window, and
// q must be pressed twice while a fault is hidden.
func TestQuizScreen(t *testing.T) {
	o := before(t)
	o.defaults()
	a := newApp(o)
	settle(a, a.Init())
	send(a, tea.WindowSizeMsg{Width: 80, Height: 24})
	seen := func() string { return strings.Join(strings.Fields(trimmed(a.View())), " ") }
	do := func(keys ...string) { typeInto(a, 80, 24, keys) }
	do("enter", "enter", "enter")
	assert.Contains(t, seen(), "nobody has called yet")
	do("dance", "enter")
	assert.Contains(t, seen(), "is nothing that can be done here")
	assert.Contains(t, seen(), "CALL > dance")
	do("esc", "train off", "enter", "enter", "supply lamp", "enter")
	assert.Contains(t, seen(), "hot enough to burn skin")
	do("enter", "red: volts T1", "enter", "blue: volts main 3", "enter")
	assert.Contains(t, seen(), "2 blue: volts main 3")
	do("esc")
	assert.NotContains(t, seen(), "2 blue: volts main 3")
	do("enter")
	assert.Contains(t, seen(), "of the best that can be read now")
	assert.Contains(t, seen(), "the program: ")
	do("enter")
	assert.Contains(t, seen(), "volts T1")
	assert.Contains(t, seen(), "red 1")
	do("q")
	assert.Contains(t, seen(), "q once more leaves")
	do("enter", "help", "enter")
	assert.Contains(t, seen(), "accuse main")
	assert.NotContains(t, seen(), "goal")
	do("esc", "look main 1", "enter")
	assert.Contains(t, seen(), "stopped: ")
	assert.Contains(t, seen(), "CALL > look main 1")
}

// TestQuizGoesOn: what is called is written down at once, what cannot be is said, and a quiz
// that was left begins with its calls.
func TestQuizGoesOn(t *testing.T) {
	o := before(t)
	o.defaults()
	var kept []byte
	var full error
	o.Quiz.Keep = func(q *classroom.Quiz) error {
		data, err := q.Save()
		require.NoError(t, err)
		kept = data
		return full
	}
	show := func() (do func(...string), seen func() string) {
		a := newApp(o)
		settle(a, a.Init())
		send(a, tea.WindowSizeMsg{Width: 40, Height: 20})
		return func(keys ...string) { typeInto(a, 40, 20, keys) },
			func() string { return strings.Join(strings.Fields(trimmed(a.View())), " ") }
	}
	do, seen := show()
	do("enter", "enter", "train off", "enter", "enter", "supply lamp", "enter", "enter", "red: volts main 5", "enter")
	assert.Contains(t, seen(), "1 red: volts main 5")
	full = errors.New("the disk is full")
	do("blue: volts T1", "enter")
	assert.Contains(t, seen(), "could not save the quiz: the disk is full")
	do("q")
	assert.Contains(t, seen(), "goes on where the class was")
	o.Quiz.Begin = func() *classroom.Quiz {
		q, err := classroom.Resume(o.Layout, kept, [16]byte{2})
		require.NoError(t, err)
		return q
	}
	_, seen = show()
	assert.Contains(t, seen(), "2 blue: volts T1")
	assert.Contains(t, seen(), "it goes on where the class was")
}
