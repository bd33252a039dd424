package svg

import (
	"encoding/xml"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestDraw: the picture is well-formed, keeps the words, the colours and as
// many dots as the braille cells have.
func TestDraw(t *testing.T) {
	s := Draw("a <b> & \x1b[1;38;2;255;138;92mred\x1b[0m\n\x1b[7mR\x1b[0m \u2803\u28ff", 20, 2, false)
	d := xml.NewDecoder(strings.NewReader(s))
	words := ""
	for {
		tok, err := d.Token()
		if err == io.EOF {
			break
		}
		require.NoError(t, err)
		if c, ok := tok.(xml.CharData); ok {
			words += strings.TrimSpace(string(c)) + " "
		}
	}
	assert.Equal(t, []string{"a", "<b>", "&", "red", "R"}, strings.Fields(words))
	assert.Equal(t, 10, strings.Count(s, "<circle"))
	assert.Contains(t, s, `fill="#FF8A5C" font-weight="bold">red<`)
	assert.Equal(t, 1, strings.Count(s, `<rect x=`), "the reversed cell")
}
