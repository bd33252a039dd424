package health

import (
	"math"
	"math/rand/v2"
	"testing"

	"fishplate/diagnose/internal/invent"
	"fishplate/layoutfile"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestContactsLean: how far sound contacts that drift by a factor lean along each mark, by
// our own draws: what bends leaves of a distance is as rare as of a Gaussian, and the
// distance itself is not.
func TestContactsLean(t *testing.T) {
	f, problems := layoutfile.Read("invented", []byte(invent.Loop("metal-tie", 40)))
	require.NotNil(t, f, "%v", problems)
	plan, err := Make(f.Layout, Options{})
	require.NoError(t, err)
	c, err := On(f.Layout, plan, Options{})
	require.NoError(t, err)
	j := &judge{c: c, volts: c.expected()}
	j.noise = c.noise(j.volts)
	for p := range c.Parts {
		j.marks = append(j.marks, c.mark(c.Parts[p].rep))
	}
	const drift, draws, far = 0.3, 60000, 2.326
	s, ok := j.summary(j.volts, drift, 1)
	require.True(t, ok)
	var spread []float64 // of the file's ohms, by contact
	for k := range c.n.Links {
		if l := &c.n.Links[k]; !l.NormallyOpen && drifts(l) {
			spread = append(spread, l.Spread)
		}
	}
	require.Len(t, spread, len(s.z.each))
	rng := rand.New(rand.NewPCG(3, 4))
	bent, plain, parts, own := 0, 0, 0, 0.0
	bends := j.bends(s, drift, 1)
	for p, b := range bends {
		if b <= 0 { // the others lean more
			continue
		}
		parts++
		w := s.along(j.marks[p])
		add(w, 1/math.Sqrt(dot(w, w))-1, w)
		a, free := make([]float64, len(s.z.each)), 1.0
		for k, x := range s.z.each {
			a[k] = dot(w, s.cov.whiten(x))
			free -= drift * drift * a[k] * a[k]
		}
		own += b
		for range draws {
			z := math.Sqrt(max(free, 0)) * rng.NormFloat64()
			for k := range a {
				size := math.Exp(spread[k]*rng.NormFloat64() - spread[k]*spread[k])
				z += a[k] * size * (math.Exp(drift*rng.NormFloat64()-drift*drift/2) - 1)
			}
			if z > far {
				plain++
			}
			if z > 0 && math.Log1p(b*z)/b > far {
				bent++
			}
		}
	}
	require.Positive(t, parts)
	all := float64(parts * draws)
	t.Logf("beyond %.3f, one in a hundred of a Gaussian: %.4f, bent %.4f; a log-sd of %.3f in the mean", far,
		float64(plain)/all, float64(bent)/all, own/float64(parts))
	assert.Greater(t, float64(plain)/all, 0.013)
	assert.InDelta(t, 0.01, float64(bent)/all, 0.002)
}
