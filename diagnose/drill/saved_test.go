package drill_test

import (
	"encoding/base64"
	"encoding/hex"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/drill"
)

func TestSaveAndResume(t *testing.T) {
	d := begin(t, "yard", drill.KindShort, drill.Hard, 9)
	do(t, d, "train off", "beep T1", "supply lamp", "mv F1 hot to lead 3 center", "supply off", "lift lead 2/3")
	data, err := d.Save(drill.Salt(rand.New(rand.NewPCG(1, 2))))
	require.NoError(t, err)
	again, err := drill.Resume(load(t, "yard"), data)
	require.NoError(t, err)
	require.Equal(t, d.Log(), again.Log(), "the same displays, to the last digit")
	require.Equal(t, d.Reveal(), again.Reveal())
	require.Equal(t, do(t, d, "ohms lead 3").Shows, do(t, again, "ohms lead 3").Shows)

	_, err = drill.Resume(load(t, "loop"), data)
	require.ErrorContains(t, err, "another one or has changed")
	_, err = drill.Resume(load(t, "yard"), []byte("{"))
	require.Error(t, err)
	_, err = drill.Resume(load(t, "yard"), []byte(strings.Replace(string(data), `"sealed": "`, `"sealed": "AAAA`, 1)))
	require.ErrorContains(t, err, "changed or damaged")
}

// forms are the ways in which a text could lie open in a file.
func forms(s string) []string {
	r := []rune(s)
	slices.Reverse(r)
	var out []string
	for _, x := range []string{s, string(r), strings.ToUpper(s), strings.ReplaceAll(s, " ", "")} {
		out = append(out, x, hex.EncodeToString([]byte(x)), base64.URLEncoding.EncodeToString([]byte(x)))
		for pad := range 3 { // base64 of it at any offset, its ends cut off
			b := base64.StdEncoding.EncodeToString([]byte(strings.Repeat("x", pad) + x))
			if core := b[4 : len(b)-4]; pad > 0 && len(core) >= 6 {
				out = append(out, core)
			}
		}
	}
	return out
}

// The save file must not tell the fault, in any plain form: its name, its
// words, its place. The symptom's place is told to the learner and may stand.
func TestSaveFileDoesNotTell(t *testing.T) {
	looked := 0
	for seed := range uint64(20) {
		kind := drill.Kinds[seed%4]
		d := begin(t, "dead-end", kind, drill.Usual, seed)
		do(t, d, "train off", "supply lamp", "supply off")
		data, err := d.Save(drill.Salt(rand.New(rand.NewPCG(seed, 2))))
		require.NoError(t, err)
		var secrets []string
		for _, hidden := range d.Reveal() {
			place, what, _ := strings.Cut(hidden, ": ")
			what, _, _ = strings.Cut(what, " (")
			secrets = append(secrets, place, what, strings.Join(strings.Fields(place)[:2], " "))
		}
		for _, s := range secrets {
			if strings.Contains(d.Symptom().At+"/", s+"/") || strings.Contains(d.Told(), s) {
				continue
			}
			looked++
			for _, f := range forms(s) {
				require.NotContains(t, string(data), f, "seed %d, %s", seed, s)
			}
		}
	}
	require.Greater(t, looked, 30)
}
