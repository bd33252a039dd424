package layoutfile

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/track"
)

const wiredText = small + `bus "B1" {
  supply    = "T1"
  terminals = 3
  wire      = "14 AWG"
  length    = "9 ft"
}
strip "P1" {
  bus       = "B1"
  terminal  = 3
  terminals = 4
  wire      = "16 AWG"
  length    = "1 ft"
}
toggle "S1" {
  bus      = "P1"
  terminal = 4
  switches = "both"
}
feeder "F7" {
  at     = "main 4"
  toggle = "S1"
  wire   = "16 AWG"
  length = "2 ft"
}
block "far side" {
  from   = "main 4"
  to     = "main 6"
  toggle = "S1"
}
accessory "gate" {
  kind   = "motor"
  volts  = 14
  amps   = 1
  toggle = "S1"
}
accessory "lamp" {
  kind  = "lamp"
  volts = 14
  amps  = 0.1
  cold  = 9
  at    = "main 5"
}
insulated_rail "road" {
  rail  = "left"
  from  = "main 3/4"
  to    = "main 7/8"
  tap   = "main 5/6"
  works = "gate"
}
train "freight" { axles = "9 in" }
`

// Everything under the table is read as it is written: what it hangs on, what
// it covers, and what is left out as usual. Expected by hand.
func TestWiresAreRead(t *testing.T) {
	l := mustRead(t, "x.hcl", wiredText).Layout
	require.Equal(t, track.Outlet{Kind: track.OnBus, Index: 0, Terminal: 3}, l.Buses[1].On)
	require.Equal(t, track.Outlet{Kind: track.OnBus, Index: 1, Terminal: 4}, l.Toggles[0].On)
	require.True(t, l.Toggles[0].Hot && l.Toggles[0].Common && !l.Toggles[0].Reverses)
	require.Equal(t, track.Outlet{Kind: track.OnToggle, Index: 0}, l.Feeders[len(l.Feeders)-1].On)
	require.Equal(t, 0, l.Feeders[len(l.Feeders)-1].Supply)
	require.Equal(t, []int{3, 4, 5}, l.Blocks[0].Pieces)
	require.Equal(t, []int{3, 4, 5, 6}, l.InsulatedRails[0].Pieces)
	require.Equal(t, 0, l.InsulatedRails[0].Accessory)
	require.Equal(t, 9.0, l.Accessories[1].ColdOhms)
	require.InDelta(t, 14*0.4, l.Accessories[0].ColdOhms, 1e-12, "a motor by its kind")
	require.InDelta(t, 228.6, l.Trains[0].AxleMM, 1e-9)
	require.Equal(t, track.DefaultTrain().PickupMM, l.Trains[0].PickupMM)
}

// A phase is told against the first supply.
func TestPhases(t *testing.T) {
	second := func(phase string) string {
		return "supply \"T2\" {\n  current = \"ac\"\n  volts = 18\n  breaker = 7\n  phase = \"" + phase + "\"\n}\n"
	}
	require.Equal(t, track.PhaseReversed, mustRead(t, "x.hcl", small+second("reversed")).Layout.Supplies[1].Phase)
	_, problems := Read("x.hcl", []byte(small+second("sideways")))
	require.True(t, problems.Errors())
	_, problems = Read("x.hcl", []byte(strings.Replace(small, "  breaker", "  phase = \"reversed\"\n  breaker", 1)))
	require.Contains(t, problems.Error(), "the first supply is what the others are compared with")
}

func TestTerminalsComeFromTheirRails(t *testing.T) {
	l := mustRead(t, "x.hcl", small+`terminal "A1" {
  at     = "main 2/3"
  wire   = "22 AWG"
  length = "10 ft"
}
terminal "A2" {
  at     = "main 3"
  wire   = "22 AWG"
  length = "10 ft"
  wires  = "common"
  common = "left"
}
`).Layout
	require.Len(t, l.Terminals, 2)
	a, b := l.Terminals[0], l.Terminals[1]
	c := l.Pieces[a.At.Piece].Construction
	require.Equal(t, [2]track.Rail{c.Hot, c.Common}, a.Rails())
	require.Equal(t, [2]track.Rail{"", track.Left}, b.Rails())
	require.Equal(t, "main 2/3", l.PlaceName(a.At))
	require.InDelta(t, 0.0530*3.048, a.OhmsPerWire, 0.001, "22 AWG")
}
