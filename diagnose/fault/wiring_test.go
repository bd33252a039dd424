package fault_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/track"

	"github.com/stretchr/testify/require"
)

func layoutFiles(t *testing.T) map[string]*conductor.Network {
	t.Helper()
	files, err := filepath.Glob("../../testdata/layouts/*.hcl")
	require.NoError(t, err)
	require.Greater(t, len(files), 20)
	out := map[string]*conductor.Network{}
	for _, path := range files {
		src, err := os.ReadFile(path)
		require.NoError(t, err)
		out[strings.TrimSuffix(filepath.Base(path), ".hcl")] = network(t, string(src))
	}
	require.Greater(t, len(out), 15)
	return out
}

func find(t *testing.T, n *conductor.Network, mode track.FaultMode, place, rail string) *fault.Suspect {
	t.Helper()
	list := fault.List(n)
	for i := range list {
		if list[i].Mode == mode && list[i].Place == place && list[i].Rail == rail {
			return &list[i]
		}
	}
	require.Failf(t, "no suspect", "%s %s %s", mode, place, rail)
	return nil
}

// Everything under the table that the files of testdata have is somebody's
// suspect, and what is looked at is the thing itself.
func TestSuspectsUnderTheTable(t *testing.T) {
	all := layoutFiles(t)
	for name, n := range all {
		t.Log(name)
		check(t, n, fault.List(n))
		suspected := map[int]bool{}
		for _, s := range fault.List(n) {
			for _, k := range s.Links {
				suspected[k] = true
			}
		}
		for i, k := range n.Links {
			middle := k.Kind == conductor.KindToggle && n.Layout.Toggles[k.Toggle].Middle // its contacts are its sides'
			if k.Kind == conductor.KindSense {
				require.False(t, suspected[i], "%s: what a thin wire has is no fault of a train", name)
				continue
			}
			if k.Piece < 0 && k.Joint < 0 && k.Kind != conductor.KindLoad && !middle {
				require.True(t, suspected[i], "%s: %s %s %s", name, k.Kind, k.Place, k.Rail)
			}
		}
	}
	for _, c := range []struct {
		layout, place, rail string
		mode                track.FaultMode
		piece               string
		part                track.Part
	}{
		{"blocks", "B1 2", "hot", track.Open, "B1 2", track.PartBus},
		{"blocks", "P1 3", "hot-common", track.Bridged, "P1 3", track.PartBus},
		{"blocks", "S3", "common", track.Weak, "S3", track.PartToggle},
		{"blocks", "S1", "hot-hot", track.Bridged, "S1", track.PartToggle},
		{"middle-off", "S2 side", "hot", track.Open, "S2", track.PartToggle},
		{"middle-off", "S3", "hot-hot", track.Bridged, "S3", track.PartToggle},
		{"ring-bus", "B1 ring", "hot-common", track.Swapped, "B1 ring", track.PartBus},
		{"ring-bus", "B1 ring", "common", track.Weak, "B1 ring", track.PartBus},
		{"blocks", "F3", "hot-common", track.Misplaced, "F3", track.PartFeeder},
		{"blocks", "F1", "hot", track.Swapped, "F1", track.PartFeeder},
		{"two-supplies", "F1", "hot", track.Swapped, "F1", track.PartFeeder},
		{"two-supplies", "T2", "hot-common", track.Swapped, "T2", track.PartSupply},
		{"rail-separate", "gate", "hot-common", track.Bridged, "gate", track.PartLoad},
		{"rail-separate", "gate", "hot", track.Open, "gate", track.PartLead},
		{"rail-separate", "road", "left", track.Open, "road", track.PartTap},
		{"rail-separate", "main 16", "left-right", track.Bridged, "main 16", track.PartRail},
		{"rail-tied", "main 17", "center-right", track.Bridged, "main 17", track.PartPiece},
		{"rail-tied", "W1 through coil", "common", track.Open, "W1 through coil", track.PartLead},
		{"lamps", "main bumper", "hot-common", track.Bridged, "main bumper", track.PartLoad},
	} {
		s := find(t, all[c.layout], c.mode, c.place, c.rail)
		require.Equal(t, c.piece, s.Piece)
		require.Equal(t, c.part, s.Part, s.ID)
	}
	for _, s := range fault.List(all["blocks"]) {
		require.False(t, s.Mode == track.Misplaced && s.Piece == "F1", "F1 is in the middle of a piece")
	}
}

// A phase that nobody checked is likelier to be wrong than one that was; an
// untied piece has no more odds of a bridge than a tied one.
func TestOddsUnderTheTable(t *testing.T) {
	src, err := os.ReadFile("../../testdata/layouts/two-supplies.hcl")
	require.NoError(t, err)
	checked := strings.Replace(string(src), "volts   = 16", "volts   = 16\n  phase   = \"in phase\"", 1)
	ratio := func(text string) float64 {
		n := network(t, text)
		return find(t, n, track.Swapped, "T2", "hot-common").Odds / find(t, n, track.Swapped, "F1", "hot-common").Odds
	}
	require.InDelta(t, 5, ratio(string(src))/ratio(checked), 1e-9)

	n := layoutFiles(t)["rail-tied"]
	of := func(place string) float64 {
		return sum(fault.List(n), func(s *fault.Suspect) bool {
			return s.Place == place && s.Mode == track.Bridged && s.Part == track.PartPiece
		})
	}
	require.InDelta(t, of("main 12"), of("main 16"), 1e-12)
	// The file's own odds.
	louder := network(t, string(src)+"flaw \"supply\" \"swapped\" { odds = 0 }\n")
	for _, s := range fault.List(louder) {
		require.NotEqual(t, track.PartSupply, s.Part)
	}
}

// The hot wires of any two feeders of different toggles or supplies may have
// changed places, the more seldom the farther apart they stand in the file;
// those of one supply without toggles may not.
func TestFarFeedersChangePlaces(t *testing.T) {
	odds := map[string]float64{}
	for _, s := range fault.List(layoutFiles(t)["blocks"]) {
		if s.Mode == track.Swapped && s.Rail == "hot" {
			odds[s.ID] = s.Odds
		}
	}
	require.Len(t, odds, 5, "F1 to F4 in pairs, but F3 and F4, which hang on one toggle: %v", odds)
	near := odds["swapped F1 hot with F2"]
	require.Positive(t, near)
	require.InDelta(t, near, odds["swapped F2 hot with F3"], 1e-12)
	require.InDelta(t, near/2, odds["swapped F1 hot with F3"], 1e-12)
	require.InDelta(t, near/3, odds["swapped F1 hot with F4"], 1e-12)
	for _, s := range fault.List(layoutFiles(t)["double"]) {
		require.False(t, s.Mode == track.Swapped && s.Rail == "hot", s.ID)
	}
}

// Where a hot wire has a fuse, the fuse is the first thing to look at when it is
// open, and nowhere else.
func TestFusesAreLookedAtFirst(t *testing.T) {
	src, err := os.ReadFile("../../testdata/layouts/lamps.hcl")
	require.NoError(t, err)
	text := strings.Replace(string(src), "length    = \"3 m\"", "length    = \"3 m\"\n  fuse      = 5", 1)
	text = strings.Replace(text, "length   = \"2 ft\"", "length   = \"2 ft\"\n  fuse     = 4", 1)
	text = strings.Replace(text, "cold     = 1.4", "cold     = 1.4\n  fuse     = 2", 1)
	var at []string
	for _, s := range fault.List(network(t, text)) {
		if strings.HasPrefix(s.Look, "look at its fuse first; ") {
			at = append(at, s.ID[:strings.Index(s.ID, " (")])
		}
	}
	require.ElementsMatch(t, []string{"open B1 1 hot", "open F1 hot", "open platform lamps hot"}, at)
}
