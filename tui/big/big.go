// Package big draws words in block letters that are read from a few metres
// away. The letters are our own drawing, 5 rows high; the block is made of
// full braille cells, which are one column wide everywhere, or of '#'. It
// knows nothing of what the words say.
package big

import "strings"

// High is the rows of a line of letters.
const High = 5

// letters has one glyph a character, rows from the top, separated by spaces.
var letters = map[rune]string{
	'0': "### #.# #.# #.# ###", '1': ".#. ##. .#. .#. ###", '2': "### ..# ### #.. ###", '3': "### ..# .## ..# ###",
	'4': "#.# #.# ### ..# ..#", '5': "### #.. ### ..# ###", '6': "### #.. ### #.# ###", '7': "### ..# .#. .#. .#.",
	'8': "### #.# ### #.# ###", '9': "### #.# ### ..# ###",
	'A': ".#. #.# ### #.# #.#", 'B': "##. #.# ##. #.# ##.", 'C': ".## #.. #.. #.. .##", 'D': "##. #.# #.# #.# ##.",
	'E': "### #.. ##. #.. ###", 'F': "### #.. ##. #.. #..", 'G': ".### #... #.## #..# .###", 'H': "#.# #.# ### #.# #.#",
	'I': "### .#. .#. .#. ###", 'J': "..# ..# ..# #.# .#.", 'K': "#..# #.#. ##.. #.#. #..#", 'L': "#.. #.. #.. #.. ###",
	'M': "#...# ##.## #.#.# #...# #...#", 'N': "#..# ##.# #.## #..# #..#", 'O': ".##. #..# #..# #..# .##.",
	'P': "##. #.# ##. #.. #..",
	'Q': ".##. #..# #..# #.#. .#.#", 'R': "##. #.# ##. #.# #.#", 'S': ".## #.. .#. ..# ##.", 'T': "### .#. .#. .#. .#.",
	'U': "#.# #.# #.# #.# ###", 'V': "#.# #.# #.# #.# .#.", 'W': "#...# #...# #.#.# ##.## #...#",
	'X': "#.# #.# .#. #.# #.#",
	'Y': "#.# #.# .#. .#. .#.", 'Z': "### ..# .#. #.. ###",
	'm': "..... ..... ####. #.#.# #.#.#", 'k': "#.. #.# ##. #.# #.#",
	'/': "..# ..# .#. #.. #..", '.': ". . . . #", ',': ". . . # #", '-': "... ... ### ... ...",
	'+': "... .#. ### .#. ...",
	':': ". # . # .", '?': "##. ..# .#. ... .#.", '!': "# # # . #", '=': "... ### ... ### ...",
	'_': "... ... ... ... ###",
	'(': ".# #. #. #. .#", ')': "#. .# .# .# #.", '%': "#.# ..# .#. #.. #.#", '>': "#.. .#. ..# .#. #..",
	'<':  "..# .#. #.. .#. ..#",
	'\'': "# # . . .", '"': "#.# #.# ... ... ...", '#': "#.# ### #.# ### #.#", '*': "... #.# .#. #.# ...",
	' ': ".. .. .. .. ..",
}

// glyph gives the rows of a character; small letters are drawn as capitals
// ('m' and 'k' of units have their own), what is not known as '?'.
func glyph(r rune) []string {
	g, ok := letters[r]
	if !ok && r >= 'a' && r <= 'z' {
		g, ok = letters[r-'a'+'A']
	}
	if !ok {
		g = letters['?']
	}
	return strings.Split(g, " ")
}

// Width gives the columns that s takes when each dot is `wide` columns.
func Width(s string, wide int) int {
	n := 0
	for i, r := range []rune(s) {
		if i > 0 {
			n += wide
		}
		n += len(glyph(r)[0]) * wide
	}
	return n
}

// Draw gives the five lines of s, each dot `wide` columns. What does not fit
// in w columns is cut at a whole letter.
func Draw(s string, wide, w int, ascii bool) []string {
	on := strings.Repeat("⣿", wide)
	if ascii {
		on = strings.Repeat("#", wide)
	}
	off := strings.Repeat(" ", wide)
	lines := make([]strings.Builder, High)
	used := 0
	for i, r := range []rune(s) {
		g := glyph(r)
		need := len(g[0]) * wide
		if i > 0 {
			need += wide
		}
		if used+need > w {
			break
		}
		used += need
		for y := range lines {
			if i > 0 {
				lines[y].WriteString(off)
			}
			for _, c := range g[y] {
				if c == '#' {
					lines[y].WriteString(on)
				} else {
					lines[y].WriteString(off)
				}
			}
		}
	}
	out := make([]string, High)
	for y := range out {
		out[y] = strings.TrimRight(lines[y].String(), " ")
	}
	return out
}

// Fit chooses among ways to say the same, longest first, and draws the first
// that fits in w columns with wide letters, else the first that fits at all.
func Fit(ways []string, w int, ascii bool) []string {
	for _, wide := range []int{2, 1} {
		for _, s := range ways {
			if Width(s, wide) <= w {
				return Draw(s, wide, w, ascii)
			}
		}
	}
	return Draw(ways[len(ways)-1], 1, w, ascii)
}

// Lettered is Fit with a letter of one column, painted or not, beside the middle row: the
// one that stands on the map.
func Lettered(letter string, ways []string, w int, ascii bool) []string {
	lines := Fit(ways, w-2, ascii)
	for i := range lines {
		side := " "
		if i == High/2 {
			side = letter
		}
		lines[i] = side + " " + lines[i]
	}
	return lines
}
