package sitting_test

import (
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/drill"
	"fishplate/diagnose/drill/coach"
	"fishplate/diagnose/drill/sitting"
	"fishplate/diagnose/hunt"
	"fishplate/layoutfile"
)

func sit(t testing.TB, layout string, level coach.Level) *sitting.Sitting {
	t.Helper()
	src, err := os.ReadFile("../../../testdata/layouts/" + layout + ".hcl")
	require.NoError(t, err)
	f, probs := layoutfile.Read(layout, src)
	require.NotNil(t, f, "%v", probs)
	kit := hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true}
	d, err := drill.New(f.Layout, drill.Options{Fault: drill.KindShort, Difficulty: drill.Easy, Kit: kit},
		rand.New(rand.NewPCG(3, 3)))
	require.NoError(t, err)
	return sitting.New(d, level, nil, [16]byte{})
}

func text(lines []sitting.Line) string {
	var out []string
	for _, l := range lines {
		out = append(out, string(l.Role)+": "+l.Text)
	}
	return strings.Join(out, "\n")
}

func TestType(t *testing.T) {
	s := sit(t, "dead-end", coach.Explain)
	for _, c := range []struct {
		line    string
		changed bool
		want    []string
	}{
		{"status", false, []string{"info: supply off, a train on main 1"}},
		{"dance", false, []string{"wrong: "}},
		{"train off", true, []string{"says: All trains"}},
		{"beep T1", true, []string{"shows: beep", "coach: 1 of 22 ruled out, 21 places left."}},
		{"supply on", true, []string{"stopped: Stopped: never a bare supply"}},
		{"supply lamp", true, []string{"says: On through the lamp", "caution: Caution: The lamp gets hot"}},
		{"best", false, []string{"coach: Millivolts", "If "}},
		{"hint", false, []string{"coach: More would tell now: millivolts, with a probe on main ",
			"best says it in full"}},
		{"coach silent", false, []string{"set to silent"}},
		{"hint", false, []string{"info: The coach is silent: type coach hint"}},
		{"coach loud", false, []string{"wrong: "}},
		{"log", false, []string{"1. 0.5 min: train off", "supply on: stopped"}},
		{"status", false, []string{"supply ON through the lamp, trains off"}},
	} {
		out, changed := s.Type(c.line)
		require.Equal(t, c.changed, changed, c.line)
		for _, w := range c.want {
			require.Contains(t, text(out), w, c.line)
		}
	}
	out, _ := s.Type("mv F1 hot to main 9 center")
	require.NotContains(t, text(out), "coach:", "it was set to silent")
	out, _ = s.Type("give up")
	require.Contains(t, text(out), "info: It was: ")
	out, _ = s.Type("best")
	require.Contains(t, text(out), "over")
}

// Every line of the help that names an act can be typed as it stands.
func TestHelpCanBeTyped(t *testing.T) {
	for _, layout := range []string{"dead-end", "yard", "rail-separate"} {
		s := sit(t, layout, coach.Silent)
		for _, l := range sitting.Help(s.Drill) {
			head, _, _ := strings.Cut(l, "   ")
			head, _, _ = strings.Cut(head, ", ")
			head, _, _ = strings.Cut(head, " (")
			head = strings.TrimSpace(head)
			if head == "give up" || head == "quit" || strings.HasPrefix(head, "jumper") && layout != "rail-separate" {
				continue
			}
			out, _ := s.Type(head)
			require.NotEmpty(t, out, head)
			require.NotContains(t, text(out), "nothing that can be done", head)
			require.NotContains(t, text(out), "there is no", head)
		}
	}
}

// What is saved is taken up with the same displays.
func TestSaveGoesOn(t *testing.T) {
	s := sit(t, "dead-end", coach.Hint)
	for _, line := range []string{"train off", "beep T1", "supply lamp", "mv F1 hot to main 9 center"} {
		s.Type(line)
	}
	data, err := s.Save()
	require.NoError(t, err)
	d, err := drill.Resume(s.Drill.Layout(), data)
	require.NoError(t, err)
	again := sitting.New(d, coach.Hint, nil, s.Salt)
	require.Equal(t, s.Status(), again.Status())
	require.Len(t, again.Coach.Steps(), len(s.Coach.Steps()))
}
