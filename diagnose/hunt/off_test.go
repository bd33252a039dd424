package hunt_test

import (
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
	"fishplate/layoutfile"
)

// With two supplies the first step names both: one left plugged in would feed
// the track.
func TestEverySupplyIsSwitchedOff(t *testing.T) {
	src, err := os.ReadFile("../../testdata/layouts/two-supplies.hcl")
	require.NoError(t, err)
	f, problems := layoutfile.Read("two", src)
	require.NotNil(t, f, "%v", problems)
	require.Len(t, f.Layout.Supplies, 2)
	h := hunt.New(f.Layout, allMeters)
	require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
	step := "switch every supply off, then pull both plugs and touch no pins: " + f.Layout.Supplies[0].Name + " and " +
		f.Layout.Supplies[1].Name
	require.Contains(t, h.View().Step.Ask.Steps, step)
}
