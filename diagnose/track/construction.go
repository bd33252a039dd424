package track

// Rail names a conductor of a piece, seen along the run's own direction.
type Rail string

// The rails a piece can have. Two-rail track has Left and Right only.
const (
	Left   Rail = "left"
	Center Rail = "center"
	Right  Rail = "right"
)

// Mirror gives the rail that takes this one's place when a piece is seen from
// its other end: left and right change places, the center stays.
func (r Rail) Mirror() Rail {
	switch r {
	case Left:
		return Right
	case Right:
		return Left
	}
	return r
}

// Quantity is a resistance that is known only roughly: the median in ohm (or
// ohm per meter where said), and the standard deviation of its natural
// logarithm. Spread 0.5 means that two readings in three lie within a factor
// of 1.65 of the median.
type Quantity struct {
	Ohms   float64
	Spread float64
}

// FaultMode says what goes wrong with a link.
type FaultMode string

// The fault modes of a link.
const (
	Open    FaultMode = "open"    // no contact where there should be one
	Weak    FaultMode = "weak"    // contact, but with too much resistance
	Bridged FaultMode = "bridged" // contact where there should be none
	Swapped FaultMode = "swapped" // two wires change places: of a feeder, or at a supply's plug
	// Misplaced is a feeder on the wrong side of an insulated joint.
	Misplaced FaultMode = "misplaced"
)

// Part says which part of the track a Flaw belongs to.
type Part string

// The parts that carry flaws of their own.
const (
	PartPiece    Part = "piece"    // inside a straight or a curve (and a bumper)
	PartTurnout  Part = "turnout"  // inside a turnout
	PartCrossing Part = "crossing" // inside a crossing
	PartJoint    Part = "joint"    // a contact between two pieces, one rail
	PartGap      Part = "gap"      // an insulated joint, one rail
	PartFeeder   Part = "feeder"   // a feeder: its wires and its clip
	PartJumper   Part = "jumper"   // a wire underneath a turnout or crossing
	PartBus      Part = "bus"      // a terminal of a bus or strip, and the wire to it
	PartToggle   Part = "toggle"
	PartLead     Part = "lead"   // a wire to an accessory
	PartTap      Part = "tap"    // the wire from an accessory to its insulated rail
	PartLoad     Part = "load"   // an accessory itself
	PartRail     Part = "rail"   // an insulated rail against the other outer rail
	PartCommon   Part = "common" // the wire between the commons of two supplies
	PartSupply   Part = "supply" // a supply's plug
)

// Flaw is one way in which a part of this construction fails.
type Flaw struct {
	Part Part
	Mode FaultMode
	// Rails are the two rails that a bridge joins; for other modes, the rails
	// that can have the flaw (empty: every rail).
	Rails []Rail
	// Odds is the relative frequency for one item (one piece, or one rail of
	// one joint). Only ratios matter.
	Odds float64
	// MinOhms and MaxOhms bound the resistance of the fault (log-uniform
	// between them): of the bridge for Bridged, of the contact for Weak.
	// Unused for Open and Swapped.
	MinOhms, MaxOhms float64
	What             string // the fault in a few words: "insulating strip slipped or missing"
	Look             string // what to look at and how to put it right
	Solder           bool   // putting it right wants, or may want, a soldering iron
}

// Conductor is one metal path inside a piece, between two contact points.
type Conductor struct {
	From, To Contact
	// Ohms is the resistance of a jumper; 0 means rail, by its length.
	Ohms float64
	// Share is the part of the leg's length that this rail takes (0..1).
	Share  float64
	Jumper bool
	// When is empty for a path that is always there; else the route
	// ("through" or "diverging") for which the points close it.
	When string
}

// Contact is a rail at an end of a piece ("points left"), or at a place
// inside it: any word that is no end, by custom "middle" ("middle center").
type Contact struct {
	End  string
	Rail Rail
}

// Wiring is the inside of a turnout or a crossing, for the left-hand form and
// seen from the points (for crossings: from end "a1"). A right-hand turnout
// is the mirror image.
type Wiring struct {
	Conductors []Conductor
	// DeadMM is the longest stretch inside on which a pickup finds no current:
	// an insulated frog, or the gap of the center rail. It is how the piece is
	// made and no fault; 0 is not known.
	DeadMM float64
	Source string
}

// Construction is how a kind of track is made.
type Construction struct {
	Name  string
	About string
	Rails []Rail // from left to right
	// Hot and Common are the rails that a feeder takes by default; other
	// rails of the common side join it only through ties or turnouts.
	Hot, Common Rail
	// Tied lists the groups of rails that are joined inside every piece.
	Tied [][]Rail
	// RailPerMeter is one rail, ohm per meter.
	RailPerMeter Quantity
	// JointOhms is one good contact between two pieces.
	JointOhms Quantity
	// ClipOhms is the contact between a feeder's wire and the rail.
	ClipOhms Quantity
	// RailLevel and JointLevel are log-sds shared by the whole layout: how
	// far all rails (all joints) together may be from the figures above.
	RailLevel, JointLevel float64
	Flaws                 []Flaw
	Turnout, Crossing     Wiring
	ThreeWay              Wiring // a turnout with a third leg; its points are not told apart by route
	Slip                  Wiring // empty: as Crossing
	SingleSlip            Wiring // empty: as Slip
	// LiftMinutes is the time to lift one piece, look, and put it back;
	// PartMinutes the time to open one joint and close it again.
	LiftMinutes, PartMinutes float64
	Lift                     string // how to lift without damage
	Source                   string // where the resistances come from
}

// HasRail says whether the construction has this rail.
func (c *Construction) HasRail(r Rail) bool {
	for _, x := range c.Rails {
		if x == r {
			return true
		}
	}
	return false
}

// TiedWith lists the rails joined to r inside every piece, r included.
func (c *Construction) TiedWith(r Rail) []Rail {
	for _, g := range c.Tied {
		for _, x := range g {
			if x == r {
				return g
			}
		}
	}
	return []Rail{r}
}
