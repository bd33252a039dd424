package panel

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"fishplate/diagnose/fault"
	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestAgainstNgspice: every kind of fault on drawn layouts, solved by rank one here
// and whole by a circuit simulator that we did not write.
func TestAgainstNgspice(t *testing.T) {
	program, err := exec.LookPath("ngspice")
	require.NoError(t, err, "ngspice is missing: install it (Debian, Ubuntu: apt-get install ngspice; macOS: brew "+
		"install ngspice)")
	rng := rand.New(rand.NewPCG(7, 8))
	var deck, print strings.Builder
	var want []float64
	cases := 0
	for _, text := range []string{invent.Loop("metal-tie", 30), invent.Line("two-rail", 20),
		invent.Oval("metal-tie", false)} {
		m, err := newMaker(read(t, text), Options{Seed: 5})
		require.NoError(t, err)
		settings := append([]setting{m.shortSetting(0)}, m.trainSettings(len(m.l.Pieces)/2)...)
		list := fault.List(m.n)
		for _, g := range settings {
			ohms := simulate.DrawOhms(m.n, rng, simulate.DrawLevel(rng, m.n.RailLevel),
				simulate.DrawLevel(rng, m.n.JointLevel))
			k, err := m.solve(&g, ohms, 1.2)
			require.NoError(t, err)
			for done := 0; done < 4; {
				s := &list[rng.IntN(len(list))]
				seed := rng.Uint64()
				e := m.effect(&g, k, s, rand.New(rand.NewPCG(seed, 0)), &scratch{})
				if e == nil || !suits(g.kind, s.Mode) {
					continue
				}
				done++
				bad := within(s, rng.Float64())
				added := e.branch(bad)
				m.deck(&deck, &g, k, s, bad, rand.New(rand.NewPCG(seed, 0)), cases)
				post := m.n.NodeOf(m.n.Posts[0][1])
				for node := 0; node < m.n.Nodes; node += 7 {
					if k.f.Island(node) == k.f.Island(post) {
						fmt.Fprintf(&print, "let m%[1]d = v(c%[2]dn%[3]d)\nprint m%[1]d\n", len(want), cases, node)
						want = append(want, e.volt(node, added)-e.volt(post, added))
					}
				}
				cases++
			}
		}
	}
	require.Greater(t, len(want), 300)
	file := filepath.Join(t.TempDir(), "panel.cir")
	require.NoError(t, os.WriteFile(file, []byte("* panels\n"+deck.String()+".control\nset numdgt=15\nop\n"+
		print.String()+"quit 0\n.endc\n.end\n"), 0o600))
	out, err := exec.Command(program, "-b", file).CombinedOutput()
	require.NoError(t, err, string(out))
	answers := regexp.MustCompile(`(?m)^m(\d+) = (\S+)`).FindAllStringSubmatch(string(out), -1)
	require.Len(t, answers, len(want))
	for i, a := range answers {
		volts, err := strconv.ParseFloat(a[2], 64)
		require.NoError(t, err)
		assert.InDelta(t, want[i], volts, 1e-5, "reading %d", i) // a tenth of the last digit of a meter
	}
}

// deck is the layout with the fault, whole: a bridge inside a piece cuts both its
// half rails.
func (m *maker) deck(w *strings.Builder, g *setting, k *solved, s *fault.Suspect, bad float64, rng *rand.Rand, at int) {
	name := func(node int) string {
		if node == m.n.NodeOf(m.n.Posts[0][1]) {
			return "0"
		}
		return fmt.Sprintf("c%dn%d", at, node)
	}
	parts := 0
	put := func(a, b string, ohms float64) {
		parts++
		fmt.Fprintf(w, "R%d_%d %s %s %.17g\n", at, parts, a, b, ohms)
	}
	cut := map[int]string{}
	if s.Mode == track.Bridged {
		l := &m.n.Links[s.Links[0]]
		end, f := rng.IntN(2), rng.Float64()
		ends := [2]string{name(m.n.NodeOf(l.A)), name(m.n.NodeOf(l.B))}
		if l.Piece >= 0 && len(m.l.Pieces[l.Piece].Ends) == 2 && m.l.Pieces[l.Piece].Wiring() == nil {
			for side, p := range [2]int{l.A, l.B} {
				far := m.n.At(track.EndRef{Piece: l.Piece, End: end}, m.n.Points[p].Rail)
				for i := range m.n.Links {
					if h := &m.n.Links[i]; h.Piece == l.Piece && !h.NormallyOpen && (h.A == far || h.B == far) {
						ends[side] = fmt.Sprintf("c%dx%d", at, side)
						cut[i] = ends[side]
						put(name(m.n.NodeOf(p)), ends[side], f*k.ohms[i]+1e-12)
						put(ends[side], name(m.n.NodeOf(far)), (1-f)*k.ohms[i]+1e-12)
					}
				}
			}
		}
		put(ends[0], ends[1], bad)
	}
	for i := range m.n.Links {
		l := &m.n.Links[i]
		if _, gone := cut[i]; gone || !g.setup.Conducts(l) {
			continue
		}
		ohms := k.ohms[i]
		if s.Mode != track.Bridged && (s.Links[0] == i || s.Mode == track.Open && slices.Contains(s.Links, i)) {
			ohms += bad
		}
		put(name(m.n.NodeOf(l.A)), name(m.n.NodeOf(l.B)), ohms)
	}
	for _, l := range g.setup.Loads {
		put(name(m.n.NodeOf(l.From)), name(m.n.NodeOf(l.To)), l.Ohms)
	}
	for i := range m.n.Nodes { // what hangs on nothing needs a way to ground
		if k.f.Island(i) != k.f.Island(m.n.NodeOf(m.n.Posts[0][1])) {
			put(name(i), "0", 1e6)
		}
	}
	hot := name(m.n.NodeOf(m.n.Posts[g.supply][0]))
	fmt.Fprintf(w, "V%d c%ds 0 %.17g\n", at, at, g.volts)
	put(fmt.Sprintf("c%ds", at), hot, k.lamp)
}
