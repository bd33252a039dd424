package lesson_test

import (
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/drill"
	"fishplate/diagnose/drill/lesson"
	"fishplate/diagnose/drill/rival"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

// read gives a lesson that comes with the program and its layout.
func read(t testing.TB, name string) (*lesson.Lesson, *track.Layout) {
	t.Helper()
	src, err := fs.ReadFile(lesson.Own(), name)
	require.NoError(t, err)
	l, err := lesson.Read(name, src)
	require.NoError(t, err)
	text, err := fs.ReadFile(lesson.Own(), l.Layout)
	require.NoError(t, err)
	f, probs := layoutfile.Read(l.Layout, text)
	require.Empty(t, probs, "%v", probs)
	return l, f.Layout
}

func names(t testing.TB) []string {
	t.Helper()
	list, err := lesson.Names(lesson.Own())
	require.NoError(t, err)
	return list
}

func TestLessonsAreInOrder(t *testing.T) {
	list := names(t)
	require.Len(t, list, 10)
	for i, name := range list {
		l, layout := read(t, name)
		require.Equal(t, i+1, l.Number, name)
		require.NotEmpty(t, l.Teaches)
		require.NotEmpty(t, l.After)
		require.Contains(t, l.Plays, "program", "every lesson must be passable by the program's own hunt")
		src, err := fs.ReadFile(lesson.Own(), l.Layout)
		require.NoError(t, err)
		require.Contains(t, string(src), "Invented", layout.Name)
	}
}

// Every lesson is played by the program and, where it says so, by halving, with
// several hidden faults; all of its checks must be met.
func TestEveryLessonIsPassable(t *testing.T) {
	for _, name := range names(t) {
		t.Run(name, func(t *testing.T) {
			l, layout := read(t, name)
			seeds := uint64(3)
			switch {
			case testing.Short():
				seeds = 1
			case os.Getenv("FISHPLATE_MEASURE") != "":
				seeds = 10
			}
			for seed := range seeds {
				d, err := drill.New(layout, l.Options(), rand.New(rand.NewPCG(seed, 77)))
				require.NoError(t, err)
				players := map[string]func(*drill.Drill) rival.Result{"program": rival.Own, "halving": rival.Halving}
				for _, who := range l.Plays {
					r := players[who](d)
					c := drill.CountLog(r.Log)
					if !l.Passed(c) {
						for _, e := range r.Log {
							t.Logf("%5.1f %s -> %s%s%s", e.Clock, e.Act, e.Shows, e.Says, e.Stopped)
						}
						require.Fail(t, "not passed", "%s, seed %d: %s %v\nhidden: %v", who, seed, r.Why, l.Judge(c),
							d.Reveal())
					}
				}
			}
		})
	}
}

// Doing nothing, or giving up, passes no lesson.
func TestNothingDonePassesNothing(t *testing.T) {
	for _, name := range names(t) {
		l, _ := read(t, name)
		require.False(t, l.Passed(drill.CountLog(nil)), name)
		require.False(t, l.Passed(drill.Counts{Found: 2, GaveUp: true, Together: 2, ByLoad: 3,
			ByMeter: map[string]int{"millivolts": 3}}), name)
	}
}

// What the reference says can be counted is what can be counted.
func TestReferenceListsWhatCanBeCounted(t *testing.T) {
	for _, c := range lesson.Countable() {
		require.Contains(t, lesson.Reference(), "`"+c+"`")
	}
}

func TestBadLessons(t *testing.T) {
	src, err := fs.ReadFile(lesson.Own(), "02-dead-end.lesson.hcl")
	require.NoError(t, err)
	good := string(src)
	for _, c := range []struct{ old, new, want string }{
		{`number  = 2`, `number  = `, "bad.hcl:1:"},
		{`number  = 2`, ``, "number"},
		{`title   = "A dead end"`, `title = ""`, "needs a title"},
		{`meters  = ["beeper"]`, `meters  = ["nose"]`, `"nose" is none of`},
		{`meters  = ["beeper"]`, `meters  = []`, "nothing lies on the table"},
		{`symptom = "short"`, `symptom = "smoke"`, `"smoke" is none of`},
		{`mode = "bridged"`, `mode = "bent"`, `"bent" is none of`},
		{`part = "piece"`, `part = "roof"`, `"roof" is none of`},
		{`part = "piece"`, "ohms = [3, 1]", "the least and the most"},
		{`check "joints"`, `check "jokes"`, "cannot be counted"},
		{`  at_most = 5`, ``, "at_least or at_most"},
		{`layout  = "branch.layout.hcl"`, `layout = "../secret.hcl"`, "same folder"},
		{`symptom = "short"`, `fault = "short"`, "one of the two"},
		{`plays   = ["program", "halving"]`, `plays = ["cat"]`, `"cat" is none of`},
		{`symptom = "short"`, `slips = 2`, "from 0 to 0.5"},
	} {
		require.Contains(t, good, c.old)
		_, err := lesson.Read("bad.hcl", []byte(strings.Replace(good, c.old, c.new, 1)))
		require.ErrorContains(t, err, c.want, fmt.Sprint(c))
		require.ErrorContains(t, err, "bad.hcl")
	}
}
