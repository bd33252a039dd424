package card_test

import (
	"encoding/xml"
	"io"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/card"
	"fishplate/diagnose/hunt"
)

// long stands for the words of a program that describes points at length.
func long(p string) string {
	return p + ", joint of two pieces, on the near one, 3 joints left of the tunnel's mouth (first: main 23/24)"
}

// A card fits two pages whatever the words are, and says less rather than
// running over.
func TestCardsFitTwoPages(t *testing.T) {
	if testing.Short() {
		t.Skip("cards of three hundred draws")
	}
	for _, kit := range []hunt.Kit{full, beeper} {
		o := card.Options{Symptom: short, Kit: kit, Where: long, Draws: 300, Depth: 3, Boxes: card.MaxBoxes}
		s := build(t, "demo", o).Sheet(long)
		require.LessOrEqual(t, s.Pages(), card.MaxPages)
		require.LessOrEqual(t, strings.Count(s.Text(), "\n"), 420)
		for _, line := range strings.Split(s.Text(), "\n") {
			require.LessOrEqual(t, utf8.RuneCountInString(line), 96, line)
		}
	}
}

// The estimate of pages grows with what is on them.
func TestPagesCount(t *testing.T) {
	s := build(t, "dead-end", card.Options{Symptom: short, Kit: beeper, Draws: 300, Depth: 3}).Sheet(nil)
	require.Equal(t, 1, s.Pages())
	for range 6 {
		s.Boxes = append(s.Boxes, s.Boxes...)
	}
	require.Greater(t, s.Pages(), 10)
}

// On every way through a card the cautions of a set-up are shown in the box
// where it is first asked for, before the reading, and no piece is looked at
// without the supply being unplugged.
func TestCautionsComeInTime(t *testing.T) {
	c := build(t, "dead-end", card.Options{Symptom: hunt.Symptom{Kind: hunt.SymptomDead, At: "main 20"}, Kit: full,
		Draws: usual})
	var walk func(box int, shown map[string]bool)
	walk = func(box int, shown map[string]bool) {
		b := &c.Boxes[box-1]
		now := map[string]bool{}
		for s := range shown {
			now[s] = true
		}
		for _, s := range b.New {
			now[s] = true
		}
		require.NotEmpty(t, b.Ask.Cautions)
		for _, s := range b.Ask.Cautions {
			require.True(t, now[s], "box %d comes before anybody was told: %s", box, s)
		}
		for _, r := range b.Branches {
			if r.Box > 0 {
				walk(r.Box, now)
			}
		}
	}
	walk(1, nil)
	for _, b := range c.Sheet(nil).Boxes {
		for _, r := range b.Rows {
			require.True(t, r.Box > 0 || r.List != "")
		}
	}
	text := c.Sheet(nil).Text()
	require.Equal(t, len(c.Ends), strings.Count(text, "-> unplug, look at "))
	require.Equal(t, len(c.Boxes), strings.Count(text, "  Red:  "))

	kit := full
	kit.Battery, kit.DCVolts = true, 12
	c = build(t, "dead-end", card.Options{Symptom: short, Kit: kit, Draws: 200, Depth: 3})
	text = c.Sheet(nil).Text()
	require.Contains(t, text, "-> clip off, look at ", "there is no plug to pull")
	require.NotContains(t, text, "-> unplug")
}

// The page needs nothing from elsewhere, its map is well-formed, and a
// layout's name cannot become part of it.
func TestPageIsSelfContained(t *testing.T) {
	l := load(t, "dead-end")
	l.Name = `<script>alert(1)</script> | **x**`
	c, err := card.Build(l, card.Options{Symptom: short, Kit: beeper, Draws: 200, Depth: 3})
	require.NoError(t, err)
	s := c.Sheet(nil)
	page, err := s.HTML()
	require.NoError(t, err)
	require.NotContains(t, page, "<script")
	require.NotRegexp(t, regexp.MustCompile(`(src|href)="[^#]|url\(|@import|https?:`), page)
	require.Contains(t, page, "@page")
	require.Equal(t, len(c.Boxes), strings.Count(page, `<div class="box" id="box`))
	from, to := strings.Index(page, "<svg"), strings.Index(page, "</svg>")
	require.Positive(t, from)
	d := xml.NewDecoder(strings.NewReader(page[from : to+6]))
	circles := 0
	for {
		tok, err := d.Token()
		if err == io.EOF {
			break
		}
		require.NoError(t, err)
		if e, ok := tok.(xml.StartElement); ok && e.Name.Local == "circle" {
			circles++
		}
	}
	require.Equal(t, len(c.Boxes), circles)
	require.Contains(t, s.Markdown(), `\<script\>alert(1)\</script\> \| \*\*x\*\*`)
}

// A card that hunts bad contacts by beeper alone says how little that is; others
// do not.
func TestADeafCardSaysSo(t *testing.T) {
	const says = "sounds through a bad contact"
	dead := hunt.Symptom{Kind: hunt.SymptomDead, At: "main 20"}
	for _, c := range []struct {
		sym  hunt.Symptom
		kit  hunt.Kit
		says bool
	}{{dead, beeper, true}, {short, beeper, false}, {dead, full, false}} {
		if testing.Short() && c.kit != beeper {
			continue // the small cards of a short run end before the lamp comes
		}
		text := build(t, "dead-end", card.Options{Symptom: c.sym, Kit: c.kit, Draws: usual}).Sheet(nil).Text()
		require.Equal(t, c.says, strings.Contains(strings.Join(strings.Fields(text), " "), says))
	}
}
