package layoutfile

import (
	"fmt"

	"fishplate/diagnose/track"
)

// forms answers sizes of a turnout that do not go together.
func (p *phrase) forms(it *item) {
	switch {
	case it.kind != track.Turnout:
	case it.wye && it.outer > 0:
		p.fail(it.kindAt, "a turnout cannot be a wye and curved", "take wye or curved out")
	case it.three && it.outer > 0:
		p.fail(it.kindAt, "a turnout cannot be three-way and curved", "take three-way or curved out")
	case it.three && it.sensing:
		p.fail(it.kindAt, "which rails of a three-way turnout sense a train is not known", "take sensing out")
	case it.length > 0 && (it.wye || it.outer > 0):
		p.fail(it.kindAt, "both legs of this turnout turn, so through has no meaning", "take through out")
	case it.outer > 0 && it.outer <= it.radius:
		p.fail(it.kindAt, "the through leg of a curved turnout must be the wider one", "give curved the larger of the two sizes")
	}
}

func (it *item) slips() bool { return it.form == track.FormSlip || it.form == track.FormSingleSlip }

// shapeForm is the form that a piece is laid in.
func (it *item) shapeForm() track.Form {
	switch {
	case it.wye:
		return track.FormWye
	case it.three:
		return track.FormThreeWay
	case it.outer > 0:
		return track.FormCurved
	}
	return it.form
}

// suits answers words of a piece that its construction makes empty.
func (x *layoutReader) suits(it *item, c *track.Construction) {
	switch {
	case c == nil:
	case it.untied && len(c.Tied) == 0:
		x.fail(it.kindAt, fmt.Sprintf("no tie joins the rails of %s track, so untied has no meaning", c.Name), "take untied out")
	case it.sensing && !c.HasRail(track.Center):
		x.fail(it.kindAt, fmt.Sprintf("%s track has no rails that sense a train", c.Name), "take sensing out")
	}
}
