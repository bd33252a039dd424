package stage

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/piece"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func layoutOf(t *testing.T, name string, text []byte) *track.Layout {
	t.Helper()
	f, problems := layoutfile.Read(name, text)
	require.NotNil(t, f, "%v", problems)
	return f.Layout
}

// fair is the portable layout fair.hcl on another kind of track, a rail insulated.
func fair(t *testing.T, construction, rail string) *track.Layout {
	t.Helper()
	text, err := os.ReadFile("../../testdata/layouts/boards/fair.hcl")
	require.NoError(t, err)
	other := strings.NewReplacer("metal-tie", construction, `"center"`, fmt.Sprintf("%q", rail))
	return layoutOf(t, "fair", []byte(other.Replace(string(text))))
}

// TestModulesInOrder: boards come in the order of the file, each rail is read across its
// joint, an insulated one must be silent, and plugs come behind the boards.
func TestModulesInOrder(t *testing.T) {
	p, err := Modules(fair(t, "roadbed", "center"))
	require.NoError(t, err)
	var names []string
	for i := range p.Wiring {
		names = append(names, p.Wiring[i].Head())
	}
	assert.Equal(t, []string{"The board: bridge", "The board: station", "The board: far end", "The wires: F1",
		"The wires: F2", "The wires: all feeders"}, names)
	assert.Contains(t, p.Before(), "First put up what is on no board (main 1 to 5 and yard 1 to 2): nothing is read "+
		"there yet.")
	var want []string
	for _, r := range p.Wiring[2].Readings {
		want = append(want, r.Red+" "+string(r.Want))
	}
	assert.Contains(t, want, "main 10/11 center silent")
	assert.Contains(t, want, "yard 2/3 center beeps")
	for i := range p.Wiring {
		w := &p.Wiring[i]
		assert.Contains(t, w.Care(), "Every supply unplugged")
		if w.Board {
			assert.Contains(t, w.Do[0], "fingers clear")
		}
		for _, r := range w.Readings {
			assert.True(t, strings.HasPrefix(r.Key(), SetUp))
		}
	}
	assert.Contains(t, p.Wiring[3].Do[0], "Push the plug of F1 into T1, every other plug out")
	_, text := layoutfile.Demo()
	_, err = Modules(layoutOf(t, "demo", text))
	require.ErrorContains(t, err, "has no modules")
}

// TestModulesLeaveRingsOpen: a joint that closes a ring is joined last, and no beep across it
// is asked that comes round the ring; where a rail is cut elsewhere in the ring its beep is.
func TestModulesLeaveRingsOpen(t *testing.T) {
	_, text := layoutfile.Demo()
	text = append(text, "\nmodule \"back\" {\n  from = \"main 11\"\n  to = \"main 25\"\n}\n"...)
	asked := func(text []byte) (w *Wire, late []string) {
		p, err := Modules(layoutOf(t, "demo", text))
		require.NoError(t, err)
		w = &p.Wiring[0]
		require.True(t, w.Board)
		assert.Contains(t, strings.Join(w.Do, " "), "main 25/26, siding 8/main 13 apart as yet")
		assert.Contains(t, w.Tail(), "Look at every joiner at main 25/26, siding 8/main 13: a beep that comes round")
		at := slices.IndexFunc(w.Readings, func(r Reading) bool {
			return r.Do == "Now join main 25/26, siding 8/main 13 as well."
		})
		require.Positive(t, at)
		for _, r := range w.Readings[at:] {
			late = append(late, r.Red+" "+string(r.Want))
		}
		return w, late
	}
	_, late := asked(text)
	assert.Equal(t, []string{"main 25/26 center silent", "siding 8/main 13 center silent"}, late)
	_, late = asked(append(text, "insulated \"main 34/35\" { rails = [\"center\"] }\n"+
		"insulated \"siding 3/siding 4\" { rails = [\"center\"] }\n"...))
	assert.Contains(t, late, "main 25/26 center beeps")
}

// TestModulesFindWhatIsLoose: with any one rail open at a joint between boards some reading
// at that board is not as it must be, on the bench of the simulator, unless ties carry for
// it; with all sound every reading is.
func TestModulesFindWhatIsLoose(t *testing.T) {
	for _, kind := range []struct{ construction, rail string }{{"metal-tie", "center"}, {"roadbed", "center"},
		{"two-rail", "left"}} {
		l := fair(t, kind.construction, kind.rail)
		p, err := Modules(l)
		require.NoError(t, err)
		n, err := conductor.Build(l)
		require.NoError(t, err)
		m, err := newMaker(l)
		require.NoError(t, err)
		stands := newBoards(m)
		as := func(s *fault.Suspect, r *Reading) bool {
			b, set := stands.bench(s)
			if ohms := b.Ohms(set, r.red, r.black); r.Want == piece.Beeps {
				return ohms <= r.Most
			} else {
				return ohms > dirt
			}
		}
		found, tied := 0, 0
		for k := range l.Modules {
			stands.stop(k)
			list := p.Wiring[k].Readings
			for i := range list {
				require.True(t, as(nil, &list[i]), "%s: %+v", l.Modules[k].Name, list[i])
			}
			for _, s := range fault.List(n) {
				j := n.Links[s.Links[0]].Joint
				if s.Mode != track.Open || j < 0 || len(s.Links) > 1 {
					continue
				}
				a, b := stands.owner[l.Joints[j].A.Piece], stands.owner[l.Joints[j].B.Piece]
				if a == b || max(a, b) != k {
					continue
				}
				seen := false
				for i := range list {
					seen = seen || !as(&s, &list[i])
				}
				switch {
				case seen:
					found++
				case kind.construction == "metal-tie" && s.Rail != "center":
					tied++
				default:
					assert.Fail(t, "not seen", "%s: %s", kind.construction, s.ID)
				}
			}
		}
		for _, r := range []track.Rail{l.Pieces[0].Construction.Hot, l.Pieces[0].Construction.Common} {
			assert.True(t, slices.ContainsFunc(p.Wiring[0].Readings, func(x Reading) bool {
				return x.Want == piece.Beeps && strings.HasSuffix(x.Red, " "+string(r))
			}), "%s: nothing is asked of the %s rail", kind.construction, r)
		}
		t.Logf("%s: %d open rails between boards seen, %d carried by ties", kind.construction, found, tied)
		assert.GreaterOrEqual(t, found, 3)
	}
}
