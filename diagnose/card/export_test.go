package card

import "fishplate/diagnose/unit"

// Follow goes through the card from box 1. read answers a box's reading; the
// answer is the list of pieces where the card ends, and the number of readings
// taken.
func (c *Card) Follow(read func(*Box) (unit.Reading, error)) (*End, int, error) {
	e, taken, _, err := c.follow(read)
	return e, taken, err
}
