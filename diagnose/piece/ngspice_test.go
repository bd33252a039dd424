package piece_test

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/piece"
	"fishplate/layoutfile"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every reading of every kind of piece against a circuit simulator: what beeps has
// the ohms that are told, what is open none. An open is 1e9 ohm from every node to
// ground, so that no island floats.
func TestAgainstSpice(t *testing.T) {
	program, err := exec.LookPath("ngspice")
	require.NoError(t, err, "ngspice is missing: install it (Debian, Ubuntu: apt-get install ngspice; macOS: brew "+
		"install ngspice)")
	kinds := []string{"straight 10", "straight 10 untied", "curve left diameter 31 angle 45",
		"turnout left diameter 31 angle 45",
		"turnout right diameter 31 angle 45", "turnout wye diameter 31 angle 22.5",
		"turnout three-way diameter 54 angle 22.5",
		"crossing 90 length 10", "slip 22.5 length 12", "slip 22.5 single length 12"}
	var deck, print strings.Builder
	var want []piece.Reading
	for _, c := range layoutfile.Constructions() {
		for _, kind := range kinds {
			if strings.Contains(kind, "untied") && len(c.Tied) == 0 {
				continue
			}
			l := read(t, c.Name, kind)
			n, err := conductor.Build(l)
			require.NoError(t, err)
			chk, err := piece.Of(l, 0)
			require.NoError(t, err)
			for _, r := range chk.Readings {
				if r.Black != piece.Frog && r.Red != piece.Frog {
					circuit(&deck, n, len(want), r)
					fmt.Fprintf(&print, "let m%[1]d = v(n%[1]d_%[2]d)\nprint m%[1]d\n", len(want), node(n, r.Red))
					want = append(want, r)
				}
			}
		}
	}
	require.Greater(t, len(want), 400)
	file := filepath.Join(t.TempDir(), "pieces.cir")
	text := "* pieces on a bench\n" + deck.String() + ".control\nset numdgt=15\nop\n" + print.String() +
		"quit 0\n.endc\n.end\n"
	require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
	out, err := exec.Command(program, "-b", file).CombinedOutput()
	require.NoError(t, err, string(out))
	answers := regexp.MustCompile(`(?m)^m(\d+) = (\S+)`).FindAllStringSubmatch(string(out), -1)
	require.Len(t, answers, len(want))
	for i, a := range answers {
		ohms, err := strconv.ParseFloat(a[2], 64)
		require.NoError(t, err)
		if r := want[i]; r.Want == piece.Beeps {
			assert.InDelta(t, r.Ohms, ohms, 1e-6*r.Ohms+1e-9, "%+v", r)
		} else {
			assert.Greater(t, ohms, 1e6, "%+v", r)
		}
	}
}

// circuit is the piece with its points thrown, black on ground and an ampere into
// red: a switch is there or not, as its position says.
func circuit(deck *strings.Builder, n *conductor.Network, at int, r piece.Reading) {
	for i := range n.Links {
		k := &n.Links[i]
		if k.NormallyOpen || k.When != "" && k.When != r.Position {
			continue
		}
		fmt.Fprintf(deck, "R%d_%d n%d_%d n%d_%d %.17g\n", at, i, at, n.NodeOf(k.A), at, n.NodeOf(k.B), k.Ohms)
	}
	for i := range n.Nodes {
		fmt.Fprintf(deck, "Rg%d_%d n%d_%d 0 1e9\n", at, i, at, i)
	}
	fmt.Fprintf(deck, "Vb%d n%d_%d 0 0\nI%d 0 n%d_%d 1\n", at, at, node(n, r.Black), at, at, node(n, r.Red))
}

func node(n *conductor.Network, name string) int {
	for i := range n.Points {
		if p := &n.Points[i]; p.Kind == conductor.PointEnd && n.Layout.Pieces[0].Ends[p.End].Label+" "+
			string(p.Rail) == name {
			return p.Node
		}
	}
	return -1
}
