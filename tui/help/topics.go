package help

import "fishplate/tui/scene"

// everywhere are the keys of the root.
var everywhere = []scene.Key{
	{Press: "?", Does: "this help, on every screen"},
	{Press: "Esc", Does: "one step back, always"},
	{Press: "Ctrl-P", Does: "practise: a hidden fault, a meter and a coach"},
	{Press: "Ctrl-G", Does: "the bell on or off: it rings when the next reading is here"},
	{Press: "Ctrl-T", Does: "the mouse on or off (on: click a piece on the map; off: your terminal selects text)"},
	{Press: "Ctrl-Z", Does: "stop for a while; the shell's fg comes back"},
	{Press: "Ctrl-C", Does: "leave at once; nothing is lost"},
}

// mapHelp explains the map beside its legend.
var mapHelp = []string{
	"1, 2, 3 stand on the most suspected pieces. The thicker a piece is drawn, the more it is suspected; one that is " +
		"ruled out is dotted. In 7-bit characters: . ruled out, - possible, o likely, # most suspected.",
	"R and B stand on their rail's side of the track: left and right are seen going up the numbers. L is a lamp or " +
		"jumper to lay, S where the supply is led to, P a feeder to pull, x a joint to open. A small letter beside " +
		"the track stands for a landmark listed below the map.",
	"\"3 joints left of the tunnel mouth (first: main 21/22)\": begin at the mouth, go left as the map lies, count " +
		"joints; the first one you meet is main 21/22.",
}

// topic is a chapter of help that is the same on every screen.
type topic struct {
	title string
	rows  [][2]string // what, and what it means; no what: a sentence
}

var topics = []topic{
	{"What you can type as an answer", [][2]string{
		{"0.4  0,4", "a figure in the unit of the setting"},
		{"212 mV  1.2k", "a figure with its unit or prefix"},
		{"OL", "over the range: open"},
		{"beep  no", "the beeper (also 1 and 0)"},
	}},
	{"The whole hunt on the number pad", [][2]string{
		{"1, 0", "beeps, silent; on the list of pieces with Enter: this was the bad one, this one is good"},
		{"digits . ,", "a figure; Enter takes it"},
		{"Enter", "on an empty line: read on"},
		{"+ Enter", "OL, over the range; on a list + is the next row"},
		{"- Enter", "take back the last answer; in a line that has text - erases a character, Esc all"},
		{". Enter", "can't reach that: another reading"},
		{"*", "giant letters; in the evidence: without this reading"},
		{"/", "why; on the map: go to a piece, 12 or 2.3 for the third piece of the second run"},
	}},
	{"Words", [][2]string{
		{"main 7/8", "the joint of pieces 7 and 8 of the run main, on the side of 7"},
		{"feeder", "the pair of wires from the supply to the track"},
		{"lamp in series", "a lamp in the supply's hot lead: it lets about 1 A into a short, so that millivolts " +
			"along the rails tell how far away it is; the lamp itself gets hot"},
		{"lift", "to take a piece out of the track; to open a joint is to pull two pieces apart"},
		{"40>20", "40 pieces in question before a reading, 20 after it"},
		{"?odd", "a reading that fits badly with the others: take it again, or look what would be believed without it"},
	}},
	{"Safety", [][2]string{
		{"", "Supply off and unplugged, trains off the rails, before the beeper or ohms. Never a bare supply into a " +
			"short: a lamp in series. Two supplies feed each other backwards through the track: pull both plugs. " +
			"Nothing is done inside a supply; mains wiring is for licensed electricians, by the local codes."},
	}},
}
