// Package svg turns a frame of the screens (text with colour sequences) into a
// self-contained SVG picture with monospace text. Each run of cells is placed
// by its column, so the picture holds whatever font the viewer has; braille
// cells are drawn as dots, since many fonts have none.
package svg

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/charmbracelet/x/ansi"
)

// The size of a cell, in the picture's units.
const (
	cellW, cellH = 9.0, 19.0
	fontSize     = 15
	margin       = 10.0
)

// look is what the colour sequences have set.
type look struct {
	fg      string // "#RRGGBB", empty for the default
	bold    bool
	reverse bool
}

// Draw gives the picture of a frame of w by h cells in 24-bit colour.
func Draw(frame string, w, h int, light bool) string {
	fg, bg := "#E4E4E4", "#1E1E1E"
	if light {
		fg, bg = "#1A1A1A", "#FDF6E3"
	}
	width, height := float64(w)*cellW+2*margin, float64(h)*cellH+2*margin
	p := &pen{fg: fg, bg: bg}
	fmt.Fprintf(&p.b, `<svg xmlns="http://www.w3.org/2000/svg" width="%g" height="%g" viewBox="0 0 %g %g">`+"\n", width,
		height, width, height)
	fmt.Fprintf(&p.b, `<rect width="100%%" height="100%%" rx="6" fill="%s"/>`+"\n", bg)
	fmt.Fprintf(&p.b, `<g font-family="DejaVu Sans Mono, Menlo, Consolas, monospace" font-size="%d" `+
		`xml:space="preserve">`+"\n", fontSize)
	for y, line := range strings.Split(frame, "\n") {
		p.line(y, line)
	}
	p.b.WriteString("</g>\n</svg>\n")
	return p.b.String()
}

type pen struct {
	b      strings.Builder
	fg, bg string
}

// line draws one row: runs of one look, then the dots of braille cells.
func (p *pen) line(y int, s string) {
	var now look
	x := 0
	for len(s) > 0 {
		if strings.HasPrefix(s, "\x1b[") {
			end := strings.IndexByte(s, 'm')
			if end < 0 {
				return
			}
			now.set(s[2:end])
			s = s[end+1:]
			continue
		}
		next := strings.IndexByte(s, '\x1b')
		if next < 0 {
			next = len(s)
		}
		if next == 0 { // another escape sequence: none of ours
			s = s[1:]
			continue
		}
		p.run(x, y, s[:next], now)
		x += ansi.StringWidth(s[:next])
		s = s[next:]
	}
}

func (p *pen) run(x, y int, s string, l look) {
	ink := l.fg
	if ink == "" {
		ink = p.fg
	}
	left, top := margin+float64(x)*cellW, margin+float64(y)*cellH
	if l.reverse {
		fmt.Fprintf(&p.b, `<rect x="%g" y="%g" width="%g" height="%g" fill="%s"/>`+"\n", left, top,
			float64(ansi.StringWidth(s))*cellW, cellH, ink)
		ink = p.bg
	}
	text := []rune(s)
	for i, r := range text {
		if r >= 0x2800 && r <= 0x28ff {
			p.dots(left+float64(i)*cellW, top, uint8(r-0x2800), ink)
			text[i] = ' '
		}
	}
	p.words(left, top, text, ink, l.bold)
}

// words writes the text of a run, each word at its own column.
func (p *pen) words(left, top float64, text []rune, ink string, bold bool) {
	weight := ""
	if bold {
		weight = ` font-weight="bold"`
	}
	for i := 0; i < len(text); {
		if text[i] == ' ' {
			i++
			continue
		}
		k := i
		for k < len(text) && text[k] != ' ' {
			k++
		}
		word := string(text[i:k])
		fmt.Fprintf(&p.b, `<text x="%g" y="%g" textLength="%g" lengthAdjust="spacingAndGlyphs" fill="%s"%s>%s</text>`+
			"\n",
			left+float64(ansi.StringWidth(string(text[:i])))*cellW, top+cellH*0.74,
			float64(ansi.StringWidth(word))*cellW, ink, weight, escape.Replace(word))
		i = k
	}
}

var escape = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;")

// dots draws a braille cell (The Unicode Standard, block Braille Patterns).
func (p *pen) dots(left, top float64, bits uint8, ink string) {
	order := [8][2]int{{0, 0}, {0, 1}, {0, 2}, {1, 0}, {1, 1}, {1, 2}, {0, 3}, {1, 3}}
	for i, at := range order {
		if bits&(1<<i) != 0 {
			fmt.Fprintf(&p.b, `<circle cx="%g" cy="%g" r="1.5" fill="%s"/>`+"\n", left+cellW*(0.25+0.5*float64(at[0])),
				top+cellH*(0.125+0.25*float64(at[1])), ink)
		}
	}
}

// set follows a colour sequence (ECMA-48 SGR, 24-bit colours by ISO 8613-6).
func (l *look) set(codes string) {
	part := strings.Split(codes, ";")
	for i := 0; i < len(part); i++ {
		switch part[i] {
		case "", "0":
			*l = look{}
		case "1":
			l.bold = true
		case "7":
			l.reverse = true
		case "38":
			if i+4 < len(part) && part[i+1] == "2" {
				l.fg = "#"
				for _, c := range part[i+2 : i+5] {
					n, _ := strconv.Atoi(c)
					l.fg += fmt.Sprintf("%02X", n&255)
				}
				i += 4
			}
		}
	}
}
