package sitting_test

import (
	"fmt"
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

// tunnel is an invented dead end of which the pieces 12 to 15 lie in a tunnel.
func tunnel(t *testing.T, o drill.Options) *sitting.Sitting {
	t.Helper()
	src, err := os.ReadFile("../../../testdata/layouts/dead-end.hcl")
	require.NoError(t, err)
	src = append(src, []byte("\nhidden \"tunnel\" {\n  from = \"main 12\"\n  to = \"main 15\"\n  minutes = 6\n}\n")...)
	f, probs := layoutfile.Read("tunnel", src)
	require.NotNil(t, f, "%v", probs)
	o.Kit = hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true}
	d, err := drill.New(f.Layout, o, rand.New(rand.NewPCG(3, 3)))
	require.NoError(t, err)
	return sitting.New(d, coach.Silent, nil, [16]byte{})
}

// What is dearer than a plain reading says so, and what it says adds up with the clock.
func TestDearActsSayWhy(t *testing.T) {
	s := tunnel(t, drill.Options{Fault: drill.KindShort, Difficulty: drill.Easy})
	for _, c := range []struct{ line, want string }{
		{"train off", ""},
		{"beep main 3", ""},
		{"beep main 13", ", 12.0 of them to get at main 13, hidden in the tunnel."},
		{"beep F1 hot to main 12 center", ", 6.0 of them to get at main 12, hidden in the tunnel."},
		{"beep main 12 center to main 15 center",
			", 12.0 of them to get at main 12 and main 15, hidden in the tunnel."},
		{"lift main 13/14", ", 6.0 of them to get at main 13, hidden in the tunnel."},
		{"lift main 3/4", "."},
		{"load main 3", "."},
		{"look main 14", ", 6.0 of them to get at main 14, hidden in the tunnel."},
	} {
		out, did := s.Type(c.line)
		if !did { // a long way, told before it is gone
			require.Equal(t, "beep main 13", c.line)
			require.Equal(t, "info: That takes 12.7 min, 12.0 of them to get at main 13, hidden in the tunnel: Enter "+
				"again does it.", text(out))
			out, did = s.Type("")
		}
		require.True(t, did, c.line)
		log := s.Drill.Log()
		want := fmt.Sprintf("info: That took %.1f min%s", log[len(log)-1].Minutes, c.want)
		if c.want == "" {
			require.NotContains(t, text(out), "That took", c.line)
			continue
		}
		require.Contains(t, strings.Split(text(out), "\n"), want, c.line)
	}
}

// A long way is told once, before it is gone, and not at all where the act would be stopped.
func TestALongWayIsToldBefore(t *testing.T) {
	s := tunnel(t, drill.Options{Fault: drill.KindShort, Difficulty: drill.Easy})
	for _, c := range []struct {
		line string
		does bool
		says string
	}{
		{"supply lamp", true, ""},
		{"look main 14", true, "stopped: "},
		{"", false, ""},
		{"supply off", true, ""},
		{"look main 14", false, "min, 6.0 of them"},
		{"beep main 3", true, "shows: "},
		{"", false, ""},
		{"look main 14", false, "min, 6.0 of them"},
		{"LOOK main 14", true, "That took"}, // as long as was told
		{"look main 15", true, "That took"},
	} {
		before := s.Drill.Clock()
		out, did := s.Type(c.line)
		require.Equal(t, c.does, did, c.line)
		require.Contains(t, text(out), c.says, c.line)
		if !did {
			require.Equal(t, before, s.Drill.Clock(), c.line)
		}
	}
}

// A drill of a length says at its beginning whose minutes these are, and once that they
// are over; it goes on.
func TestTheLengthIsToldOnce(t *testing.T) {
	s := tunnel(t, drill.Options{Minutes: drill.FiveMinutes}.OfLength())
	require.Contains(t, strings.Join(sitting.Opening(s.Drill), "\n"), "About 5 minutes of yours: some 15 acts")
	told := []int{}
	for i := range 18 {
		out, _ := s.Type([]string{"supply lamp", "supply off"}[i%2])
		if strings.Contains(text(out), "Those were the 15 acts of about 5 minutes. The drill goes on.") {
			told = append(told, i+1)
		}
	}
	require.Equal(t, []int{15}, told)
	require.NotContains(t, strings.Join(sitting.Opening(sit(t, "dead-end", coach.Silent).Drill), "\n"), "of yours")
}
