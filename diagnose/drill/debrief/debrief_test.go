package debrief_test

import (
	"io/fs"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/drill"
	"fishplate/diagnose/drill/coach"
	"fishplate/diagnose/drill/debrief"
	"fishplate/diagnose/drill/lesson"
	"fishplate/diagnose/drill/sitting"
	"fishplate/layoutfile"
)

// sit sits down at one of our lessons.
func sit(t testing.TB, file string, seed uint64) *sitting.Sitting {
	t.Helper()
	src, err := fs.ReadFile(lesson.Own(), file)
	require.NoError(t, err)
	l, err := lesson.Read(file, src)
	require.NoError(t, err)
	text, err := fs.ReadFile(lesson.Own(), l.Layout)
	require.NoError(t, err)
	f, probs := layoutfile.Read(l.Layout, text)
	require.NotNil(t, f, "%v", probs)
	d, err := drill.New(f.Layout, l.Options(), rand.New(rand.NewPCG(seed, 0)))
	require.NoError(t, err)
	return sitting.New(d, coach.Explain, l, drill.Salt(rand.New(rand.NewPCG(seed, 1))))
}

func typed(t testing.TB, s *sitting.Sitting, lines ...string) (last []sitting.Line) {
	t.Helper()
	for _, line := range lines {
		last, _ = s.Type(line)
		require.NotEmpty(t, last, line)
		for _, l := range last {
			require.NotEqual(t, sitting.Wrong, l.Role, "%s: %s", line, l.Text)
		}
	}
	return last
}

// bad is the piece that is bad.
func bad(s *sitting.Sitting) string {
	place, _, _ := strings.Cut(s.Drill.Reveal()[0], ":")
	f := strings.Fields(place)
	return f[0] + " " + strings.Split(f[1], "/")[0]
}

func TestDebriefOfALesson(t *testing.T) {
	s := sit(t, "02-dead-end.lesson.hcl", 5)
	typed(t, s, "beep T1", "train off", "beep T1", "accuse "+bad(s))
	b := debrief.Make(s)
	require.True(t, b.Passed)
	require.Len(t, b.Parties, 3)
	require.Equal(t, []string{"you", "program", "halving"}, []string{b.Parties[0].Name, b.Parties[1].Name,
		b.Parties[2].Name})
	for _, p := range b.Parties {
		require.True(t, p.Found, p.Name)
		require.InDelta(t, p.Log[len(p.Log)-1].Clock, p.Counts.Minutes, 0.011, p.Name)
	}
	require.Len(t, b.Lessons, 2)
	require.Equal(t, coach.HabitGuess, b.Lessons[0].Habit, "looked on a slim chance: that lost most")
	require.Equal(t, coach.HabitTrain, b.Lessons[1].Habit)
	text := said(b, 80)
	require.Contains(t, text, "TIME LINE")
	require.Contains(t, text, "passed: the shorted piece is found")
	require.Contains(t, text, bad(s))
	require.Equal(t, debrief.Line{Text: "THE LESSON: PASSED", Role: debrief.Title}, b.Lines(80)[0])
	require.Contains(t, b.Lines(80)[1:6], debrief.Line{Text: b.After, Role: debrief.Take})
	strips := 0
	for l := range strings.Lines(said(b, 40)) {
		l = strings.TrimSuffix(l, "\n")
		for _, p := range b.Parties {
			if strings.HasPrefix(l, p.Name+" ") {
				strips++
				require.LessOrEqual(t, len(l), 40)
			}
		}
	}
	require.Equal(t, 3, strips)
	require.Zero(t, s.Drill.Left(), "the rivals hunted on their own copies")
}

// What lied is named at the end, and not before.
func TestReadingsThatLied(t *testing.T) {
	lying := func(slips float64) *sitting.Sitting {
		s := sit(t, "05-distance.lesson.hcl", 3)
		o := drill.Options{Fault: drill.KindShort, Difficulty: drill.Easy, Kit: s.Lesson.Kit, Slips: slips}
		d, err := drill.New(s.Drill.Layout(), o, rand.New(rand.NewPCG(3, 0)))
		require.NoError(t, err)
		return sitting.New(d, coach.Silent, nil, [16]byte{})
	}
	acts := []string{"train off", "supply lamp", "mv F1 hot to main 9 center", "mv F1 hot to main 12 center",
		"mv main 9 to main 14", "mv F1 to main 20"}
	s := lying(0.5)
	typed(t, s, acts...)
	require.Empty(t, s.Drill.Odd(), "not while it goes on")
	typed(t, s, "give up")
	b := debrief.Make(s)
	require.NotEmpty(t, b.Odd)
	require.Contains(t, said(b, 80), "READINGS THAT LIED")
	require.Contains(t, b.Odd[0], "bad contact")
	for _, o := range s.Drill.Odd() {
		require.Equal(t, drill.DoRead, s.Drill.Log()[o.Entry].Act.Do)
	}
	honest := lying(0)
	typed(t, honest, append(acts, "give up")...)
	require.Empty(t, honest.Drill.Odd())
}

// Found, but not as the lesson has it, is not passed.
func TestFoundByAGuessIsNotPassed(t *testing.T) {
	s := sit(t, "03-loop.lesson.hcl", 5)
	typed(t, s, "train off", "accuse "+bad(s))
	b := debrief.Make(s)
	require.True(t, b.Parties[0].Found)
	require.False(t, b.Passed)
	require.Empty(t, b.After)
	require.Contains(t, said(b, 80), "passed: the shorted piece is found")
	require.Contains(t, said(b, 80), "not yet: ")
}

func TestGivenUpIsNotPassed(t *testing.T) {
	s := sit(t, "06-weak.lesson.hcl", 5)
	typed(t, s, "train off", "give up")
	b := debrief.Make(s)
	require.False(t, b.Passed)
	require.Equal(t, "given up", b.Parties[0].Why)
	require.Contains(t, b.Parties[2].Why, "weak contact")
	r := b.Record("", "2026-11-25")
	require.True(t, r.GaveUp)
	require.Zero(t, r.Halving)
	require.NotZero(t, r.Program)
}

// A strip has a mark for every kind of act, in order, and never more than fit.
func TestStrip(t *testing.T) {
	log := []drill.Entry{
		{Act: drill.Act{Do: drill.DoTrain}, Minutes: 1, Clock: 1},
		{Act: drill.Act{Do: drill.DoRead}, Minutes: 1, Clock: 2},
		{Act: drill.Act{Do: drill.DoSupply}, Stopped: "no", Clock: 2},
		{Act: drill.Act{Do: drill.DoLift}, Minutes: 2, Clock: 4},
		{Act: drill.Act{Do: drill.DoRead}, Minutes: 0.1, Clock: 4.1},
		{Act: drill.Act{Do: drill.DoAccuse}, Minutes: 2, Clock: 6.1, Found: "main 1"},
	}
	require.Equal(t, "-rJJrA*", debrief.Strip(log, 1, 20))
	require.Equal(t, "-rJJ", debrief.Strip(log, 1, 4))
	require.Len(t, debrief.Strip(log, 0.01, 30), 30)
}

func TestUsefulPraisesWhereNothingWasLost(t *testing.T) {
	steps := []coach.Step{{Did: "beeper main 7", Meter: "beeper", Bits: 1.2, Minutes: 0.7, Before: 12, After: 5},
		{Did: "ohms T1", Meter: "ohms", Bits: 0.1, Minutes: 0.7}}
	out := debrief.Useful(steps)
	require.Contains(t, out[0].Says, "beeper main 7")
	require.Contains(t, out[0].Says, "Of 12 places it ruled out 7.")
	twice := []coach.Step{steps[0], steps[0]}
	require.Len(t, debrief.Useful(twice), 1, "the same reading again is no second lesson")
	upset := []coach.Step{{Did: "beeper main 3", Meter: "beeper", Bits: 1.2, Minutes: 0.7, Before: 2, After: 4}}
	require.NotContains(t, debrief.Useful(upset)[0].Says, "Remember", "a reading that upset things is no praise")
	require.Contains(t, debrief.Useful(nil)[0].Says, "Nothing was read")
	require.Contains(t, debrief.Useful(steps[1:])[0].Says, "Nothing was lost")
	steps[1].Remarks = []coach.Remark{{Habit: coach.HabitAnswered, Lost: 0.7}}
	steps[0].Remarks = []coach.Remark{{Habit: coach.HabitLift, Lost: 2.5}}
	out = debrief.Useful(steps)
	require.Equal(t, []coach.Habit{coach.HabitLift, coach.HabitAnswered}, []coach.Habit{out[0].Habit, out[1].Habit})
}

func TestRecordsAndProgress(t *testing.T) {
	require.Contains(t, debrief.Progress(nil)[0], "No drill")
	var data []byte
	var err error
	for i, minutes := range []float64{20, 16, 10, 6} {
		data, err = debrief.Add(data, debrief.Record{Date: "2026-11-2" + string(rune('1'+i)), Layout: "Yard", Class: 4,
			Symptom: "short", Passed: true, Minutes: minutes, Program: 5, Habits: []string{"lift"}, Strip: "-rK*"})
		require.NoError(t, err)
	}
	list, err := debrief.Read(data)
	require.NoError(t, err)
	require.Len(t, list, 4)
	text := strings.Join(debrief.Progress(list), "\n")
	require.Contains(t, text, "3.6 in the first 2 drills, 1.6 in the last 2")
	require.Contains(t, text, "lifted before reading (4)")
	require.Contains(t, text, "Yard, class 4")
	for i := range list {
		list[i].Name = []string{"Ann", "Bob"}[i%2]
	}
	more := slices.Concat(list, list)
	text = strings.Join(debrief.Progress(more), "\n")
	require.Contains(t, text, "Ann: Minutes as a multiple of the program's: 3.0 in the first 2 drills, 3.0 in the "+
		"last 2")
	require.Contains(t, text, "Bob: Minutes as a multiple of the program's: 2.2")
	require.Contains(t, debrief.Markdown(more), "Ann: Minutes")
	require.Len(t, debrief.Of(more, "ann"), 4)
	require.Len(t, debrief.Of(more, ""), 8)
	_, err = debrief.Read([]byte(`{"x":1}`))
	require.Error(t, err)
	_, err = debrief.Add([]byte(`nonsense`), debrief.Record{})
	require.Error(t, err, "a file that is not ours is never written over")
}

// The sheet keeps what a name could break.
func TestSheets(t *testing.T) {
	list := []debrief.Record{{Date: "2026-11-25", Name: `<b>A|B</b>`, Layout: "Yard & <shed>", Symptom: "dead",
		Minutes: 7.5, Program: 5, Readings: 3, Strip: "-r<K*"}}
	md, page := debrief.Markdown(list), debrief.HTML(list)
	require.Contains(t, md, `A\|B`)
	rows := strings.Split(md, "\n")
	require.Equal(t, strings.Count(rows[2], "|"), strings.Count(strings.ReplaceAll(rows[4], `\|`, ""), "|"),
		"as many cells in a row as in the head")
	require.Contains(t, page, "&lt;b&gt;A|B&lt;/b&gt;")
	require.Contains(t, page, "Yard &amp; &lt;shed&gt;")
	require.Contains(t, page, "-r&lt;K*")
	for _, outside := range []string{"<script", "<link", "src=", "http:", "https:", "@import"} {
		require.NotContains(t, page, outside)
	}
}

// said is the whole of a debrief in one text.
func said(b *debrief.Debrief, w int) string {
	var out []string
	for _, l := range b.Lines(w) {
		out = append(out, l.Text)
	}
	return strings.Join(out, "\n")
}
