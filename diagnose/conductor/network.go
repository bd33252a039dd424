// Package conductor turns a layout as built into its electrical network: the
// points that a probe can touch and the links between them. It takes a
// checked layout for granted. What goes wrong with links is package fault's,
// what a meter shows is package meter's.
package conductor

import (
	"fishplate/diagnose/track"
)

// LinkKind says what a link is made of.
type LinkKind string

// The kinds of links.
const (
	KindRail       LinkKind = "rail"
	KindJoint      LinkKind = "joint"
	KindJumper     LinkKind = "jumper"
	KindSwitch     LinkKind = "switch"     // closed by the points for one route
	KindFeeder     LinkKind = "feeder"     // one wire, from a supply's post to the track
	KindClip       LinkKind = "clip"       // from the wire's end onto the rail
	KindInsulation LinkKind = "insulation" // normally open, inside a piece or along a feeder
	KindGap        LinkKind = "gap"        // normally open, an insulated joint
	KindBus        LinkKind = "bus"        // one wire of a bus, from one terminal to the next
	KindToggle     LinkKind = "toggle"     // a toggle's contact, closed in one of its positions
	KindLead       LinkKind = "lead"       // a wire to an accessory, or from a supply's winding to its post
	KindLoad       LinkKind = "load"       // an accessory itself, cold or hot
	KindCommon     LinkKind = "common"     // the wire between the common posts of two supplies
	KindTap        LinkKind = "tap"        // from an accessory to its insulated rail
	KindSense      LinkKind = "sense"      // a thin wire from the track to a labelled block
)

// Class says which level (a factor shared by the whole layout) a link's
// resistance follows.
type Class uint8

// The classes of links.
const (
	ClassRail Class = iota
	ClassJoint
	ClassWire
	NumClasses
)

// Link joins two points.
type Link struct {
	ID   string // the resistor's name in the netlist: "R12"
	Kind LinkKind
	// Place is the piece ("main 7"), joint ("main 7/8"), feeder ("F1"),
	// terminal ("B1 2"), toggle, accessory, insulated rail or supply that the
	// link belongs to; Rail the rail or the side, or two of them for
	// insulation.
	Place string
	Rail  string
	A, B  int     // indices into Network.Points
	Ohms  float64 // median; of no meaning when NormallyOpen
	// Spread is the log-sd of this one link about the level of its class.
	Spread       float64
	Class        Class
	NormallyOpen bool
	// When is the state in which a switched link conducts: of a switch the
	// route that piece Turnout is thrown to; of a toggle "on" or "off"; of a
	// load "cold" or "hot". Empty for all others.
	Turnout int
	When    string
	// Piece, Joint, Feeder, Bus, Toggle, Accessory, InsulatedRail and Supply
	// are indices into the layout, -1 where the link does not belong to one.
	Piece, Joint, Feeder                          int
	Bus, Toggle, Accessory, InsulatedRail, Supply int
}

// The states of toggles and loads, as Link.When has them.
const (
	WhenOn   = "on"
	WhenOff  = "off"
	WhenCold = "cold"
	WhenHot  = "hot"
)

// PointKind says what a probe touches.
type PointKind uint8

// The kinds of points.
const (
	PointMiddle    PointKind = iota // the middle of a piece
	PointEnd                        // a piece's end, at a joint or free
	PointInside                     // another place inside a turnout or crossing
	PointFeeder                     // a feeder's wire where it meets the track
	PointPost                       // where the hot, or the common, wires of a supply join
	PointTerminal                   // a terminal of a bus or strip
	PointToggle                     // the outgoing lug of a toggle
	PointAccessory                  // a terminal of an accessory
	PointPanel                      // where a thin wire from the track ends, at a labelled block
	PointInternal                   // no probe gets there
)

// Point is a place that a probe can touch.
type Point struct {
	Name  string // "main 7 center", "main 7/8 center", "F1 hot", "T1 common"
	Kind  PointKind
	Piece int // -1 for all that is no piece
	End   int // index into the piece's ends, -1 elsewhere
	Rail  track.Rail
	Node  int // the node it belongs to; tied points share one
}

// Network is the conductor graph of a layout.
type Network struct {
	Layout *track.Layout
	Points []Point
	Links  []Link
	Nodes  int // number of nodes after ties
	byName map[string]int
	// ends[piece][end][rail] and middles[piece][rail] are point indices.
	ends         []map[endRail]int
	middles      []map[string]int
	waiting      map[int]bool // nodes of insulated rails
	FeederPoints [][2]int     // per feeder: hot, common
	// Posts are, per supply, where its hot wires join and where its common wires
	// do: at its own posts, but while a lamp sits between the hot post and the hot
	// wires the first is the track's side of that lamp.
	Posts [][2]int
	// Windings are, per supply, the points to drive when several supplies are
	// on at once (Setup.Also): the posts, or points behind a plug that may be
	// the wrong way round.
	Windings [][2]int
	// Terminals are, per bus and terminal (from 0), its two points; Lugs, per
	// toggle, the outgoing points; AccessoryPoints, per accessory, its own
	// terminals: the one nearer to hot first.
	Terminals       [][][2]int
	Lugs            [][2]int
	AccessoryPoints [][2]int
	// PanelPoints are, per terminal of the block, the ends of its hot and its common
	// wire; -1 where it has none.
	PanelPoints [][2]int
	// RailLevel and JointLevel are the shared log-sds of the classes.
	RailLevel, JointLevel float64
}

type endRail struct {
	end  int
	rail track.Rail
}

// Find looks a point up by name, -1 when there is none. A supply's own hot post
// (HotPost) is found as the point where its hot wires join: with no lamp between
// them they are one.
func (n *Network) Find(name string) int {
	if i, ok := n.byName[name]; ok {
		return i
	}
	for i := range n.Posts {
		if name == n.HotPost(i) {
			return n.Posts[i][0]
		}
	}
	return -1
}

// HotPost names a supply's own hot post, "T1 hot post": the supply's side of a
// lamp that sits between it and the hot wires. "T1 hot" is the track's side.
func (n *Network) HotPost(supply int) string { return n.Layout.Supplies[supply].Name + " hot post" }

// Middle is the point in the middle of a piece, -1 when it has none there.
func (n *Network) Middle(piece int, r track.Rail) int {
	if i, ok := n.middles[piece]["middle "+string(r)]; ok {
		return i
	}
	return -1
}

// At is the point at an end of a piece, -1 when there is none.
func (n *Network) At(e track.EndRef, r track.Rail) int {
	if i, ok := n.ends[e.Piece][endRail{e.End, r}]; ok {
		return i
	}
	return -1
}

// NodeOf is the node of a point.
func (n *Network) NodeOf(point int) int { return n.Points[point].Node }
