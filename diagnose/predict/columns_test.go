package predict

import (
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/internal/invent"
	"fishplate/layoutfile"
)

// A circuit that must make room for columns all the time predicts what one
// with room for all does.
func TestColumnsMakeRoom(t *testing.T) {
	f, problems := layoutfile.Read("invented", []byte(invent.Loop("metal-tie", 40)))
	require.NotNil(t, f, "%v", problems)
	n, err := conductor.Build(f.Layout)
	require.NoError(t, err)
	var all []int
	for p := range n.Points {
		all = append(all, p)
	}
	b := NewBasis(n, Options{Points: all})
	set := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceLamp, From: n.Posts[0][0], To: n.Posts[0][1],
		Volts: 18, Amps: 1}}
	roomy, err := b.NewCircuit(&set, nil, nil)
	require.NoError(t, err)
	tight, err := b.NewCircuit(&set, nil, nil)
	require.NoError(t, err)
	tight.room = 3
	hot, common := f.Layout.Pieces[0].Construction.Hot, f.Layout.Pieces[0].Construction.Common
	for j := range f.Layout.Joints {
		at := f.Layout.Joints[j].A
		e := Effect{Kind: EffectBridge, A: n.At(at, hot), B: n.At(at, common), Ohms: 0.2}
		for k := range f.Layout.Joints {
			far := n.At(f.Layout.Joints[k].A, hot)
			want := roomy.NewCase(e).Moments(Voltage, n.FeederPoints[0][0], far, nil)
			require.Equal(t, want, tight.NewCase(e).Moments(Voltage, n.FeederPoints[0][0], far, nil))
		}
	}
	require.Len(t, tight.made, 3)
	require.Greater(t, len(roomy.made), 30)
}
