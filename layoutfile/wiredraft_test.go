package layoutfile

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/track"
)

// Everything under the table can be added to a file and taken out again; what
// others hang on cannot go first.
func TestWiresAreAddedAndTakenOut(t *testing.T) {
	f := mustRead(t, "x.hcl", small)
	before := string(f.Bytes())
	require.Empty(t, f.AddBus(BusLines{Name: "B1", HangLines: HangLines{Supply: "T1"}, Terminals: 3, Wire: "14 AWG", Length: "9 ft"}))
	require.Empty(t, f.AddBus(BusLines{Name: "P1", Strip: true, HangLines: HangLines{Bus: "B1", Terminal: 3}, Terminals: 4, Wire: "16 AWG", Length: "1 ft"}))
	require.Empty(t, f.AddToggle(ToggleLines{Name: "S1", HangLines: HangLines{Bus: "P1", Terminal: 4}, Switches: "both"}))
	require.Empty(t, f.AddFeeder(FeederLines{Name: "F7", At: "main 4", Toggle: "S1", Wire: "16 AWG", Length: "2 ft"}))
	require.Empty(t, f.AddBlock(BlockLines{"far side", "main 4", "main 6", "S1"}))
	require.Empty(t, f.AddAccessory(AccessoryLines{Name: "gate", Kind: track.Motor, Volts: 14, Amps: 1, HangLines: HangLines{Toggle: "S1"}}))
	require.Empty(t, f.AddAccessory(AccessoryLines{Name: "lamp", Kind: track.Lamp, Volts: 14, Amps: 0.1, Cold: 9, At: "main 5"}))
	require.Empty(t, f.AddInsulatedRail(InsulatedRailLines{Name: "road", Rail: track.Left, From: "main 3/4", To: "main 7/8", Tap: "main 5/6", Works: "gate"}))
	require.Empty(t, f.AddTrain(TrainLines{Name: "freight", Axles: "9 in"}))
	l := f.Layout
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
	for what, remove := range map[string]func() Problems{
		"bus":       func() Problems { return f.RemoveBus("B1") },
		"strip":     func() Problems { return f.RemoveBus("P1") },
		"toggle":    func() Problems { return f.RemoveToggle("S1") },
		"accessory": func() Problems { return f.RemoveAccessory("gate") },
	} {
		require.True(t, remove().Errors(), "%s is in use", what)
	}
	for _, remove := range []func() Problems{
		func() Problems { return f.RemoveInsulatedRail("road") }, func() Problems { return f.RemoveAccessory("gate") },
		func() Problems { return f.RemoveAccessory("lamp") }, func() Problems { return f.RemoveBlock("far side") },
		func() Problems { return f.RemoveFeeder("F7") }, func() Problems { return f.RemoveToggle("S1") },
		func() Problems { return f.RemoveBus("P1") }, func() Problems { return f.RemoveBus("B1") },
		func() Problems { return f.RemoveTrain("freight") },
	} {
		require.Empty(t, remove())
	}
	require.Equal(t, before, strings.ReplaceAll(string(f.Bytes()), "\n\n", "\n"), "but for an empty line")
}

// A phase is a supply's own line.
func TestSetPhase(t *testing.T) {
	f := mustRead(t, "x.hcl", small)
	require.Empty(t, f.AddSupply(SupplyLines{Name: "T2", AC: true, Volts: 18, Breaker: 7}))
	require.Empty(t, f.SetPhase("T2", "reversed"))
	require.Equal(t, track.PhaseReversed, f.Layout.Supplies[1].Phase)
	require.True(t, f.SetPhase("T2", "sideways").Errors())
	require.True(t, f.SetPhase("T1", "reversed").Errors(), "the first one is what the others are compared with")
}
