package unit

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestLightOfALamp(t *testing.T) {
	for text, want := range map[string]Kind{
		"bright": Bright, "Bright.": Bright, "full": Bright, "lit": Bright, "it is lit": Bright, "on": Bright,
		"very bright": Bright,
		"glowing":     Glowing, "glow": Glowing, "dim": Glowing, "it glows a little": Glowing, "lit, dim": Glowing,
		"faint": Glowing,
		"dark":  Dark, "off": Dark, "out": Dark, "no": Dark, "no light": Dark, "no light at all": Dark, "not lit": Dark,
		"the lamp is dark": Dark,
	} {
		r, err := Parse(text, Lamp)
		require.NoError(t, err, text)
		assert.Equal(t, want, r.Kind, text)
		assert.Equal(t, string(want), r.String())
	}
	for _, text := range []string{"", "12", "not bright", "bright or dark", "OL", "mauve", "not"} {
		_, err := Parse(text, Lamp)
		assert.Error(t, err, text)
	}
	_, err := Parse("perhaps", Lamp)
	assert.ErrorContains(t, err, "bright, glowing or dark")
}
