# How the usual kinds of sectional track are made. Names and wording are our own.
#
# Where the figures come from
# - metal-tie rail: "Resistance of track sections and connections", by a user who signs servoguy, about 2010, a general model-train forum, four-wire: 3.5 mohm a rail piece of about
#   284 mm, which is 12.3 mohm a meter; 1.5 mohm a good sprung joint; 10 mohm the center path of an old turnout, 4.7 of them in a steel jumper.
#   The track of one owner: take +-50 % (the levels below).
# - two-rail: code 100 nickel silver, 57 mohm a meter, "Track Resistance", a page by W8JI, at 1 A DC; 76 at 60 Hz by a wiki page "Rail Size".
# - roadbed and solid-rail: no measured value was found; the metal-tie figures are assumed.
# - dead_mm, the stretch inside a turnout or a crossing where a pickup finds nothing: assumed.
# - Spreads, the clip, jumpers other than the one above, times and all odds: assumed; no census of fault causes was found.
# - What fails and what to look at: common practice, no source.

construction "metal-tie" {
  about  = "pressed rail on metal ties: the ties join the outer rails, strips of insulation hold the center rail off them, pins join the pieces"
  rails  = ["left", "center", "right"]
  hot    = "center"
  common = "left"
  tied   = ["left + right"]
  source = "rail 3.5 mohm a piece of about 284 mm and 1.5 mohm a good joint: \"Resistance of track sections and connections\", servoguy, about 2010, four-wire on one owner's track, +-50 %; the rest assumed"

  rail {
    ohms_per_meter = 0.0123
    spread         = 0.08
    level          = 0.4
  }
  joint {
    ohms   = 0.0015
    spread = 0.6
    level  = 0.5
  }
  clip {
    ohms   = 0.003
    spread = 0.7
  }
  lift {
    minutes       = 4
    joint_minutes = 1.5
    text          = "take the screws out, then pull the piece off its neighbours straight along the rails, rocking it a little; hold it by the ties, not by a rail, and check that no pin came out with its insulation"
  }

  flaw "piece" "bridged" {
    rails = ["center", "left"]
    odds  = 3
    min   = 0.002
    max   = 2
    what  = "an insulating strip is missing or has slipped, or stray metal touches the center rail"
    look  = "turn the piece over and find a strip of insulation between the center rail and every tie; push a slipped one back, put in a new one and bend the tie's tabs down on it; look for a screw, a wire end or a spike across the ties"
  }
  flaw "piece" "open" {
    odds = 0.1
    what = "a rail is broken or torn off inside the piece"
    look = "read each rail from end to end; a beeper tones through a bad one too, so compare in millivolts"
  }
  flaw "turnout" "bridged" {
    rails = ["center", "left"]
    odds  = 10
    min   = 0.002
    max   = 2
    what  = "a jumper or a moving rail touches what it should not, or insulation under the center rail is gone"
    look  = "throw the turnout and read again: a fault in one position only is at the moving rails; then open the bottom and look at the jumper, the insulation and the tabs near screws"
  }
  flaw "crossing" "bridged" {
    rails = ["center", "left"]
    odds  = 6
    min   = 0.002
    max   = 2
    what  = "the center of the crossing touches its base"
    look  = "look at the insulation under the center plate and for anything lying in the flangeways"
  }
  flaw "joint" "open" {
    odds = 1
    what = "the pin makes no contact"
    look = "take the joint apart: pin missing, loose, rusty, or an insulating pin where a metal one belongs; squeeze the rail on the pin, clean or replace it"
  }
  flaw "joint" "weak" {
    odds = 2
    min  = 0.05
    max  = 5
    what = "the pin is loose or rusty"
    look = "take the joint apart, clean the pin and the inside of the rail, squeeze the rail so that the pin goes in hard; no steel wool"
  }
  flaw "gap" "bridged" {
    odds = 3
    min  = 0.002
    max  = 1
    what = "the insulating pin is missing, is a metal one, or the rail ends touch past it"
    look = "look for a metal pin, for rail ends that touch, and for metal-bearing dirt in the gap"
  }
  flaw "feeder" "open" {
    odds = 2
    what = "a wire of the feeder is off or broken"
    look = "follow the wire from the supply to the clip and pull at every end of it"
  }
  flaw "feeder" "weak" {
    odds = 2
    min  = 0.05
    max  = 5
    what = "the clip or a screw of the feeder is loose or dirty"
    look = "take the clip off, clean it and the rail's flange, tighten the screws"
  }
  flaw "feeder" "swapped" {
    odds = 1
    what = "the two wires of the feeder have changed places"
    look = "compare the colours at the clip and at the supply with another feeder"
  }
  flaw "feeder" "bridged" {
    odds = 0.5
    min  = 0.002
    max  = 1
    what = "the two wires of the feeder touch"
    look = "look for bare strands at the clip and the posts, and where the cable is nailed or pinched; the clip must touch the center rail and one outer rail only"
  }
  flaw "jumper" "open" {
    odds = 2
    what = "a jumper under the piece is off"
    look = "open the bottom and look at both ends of the jumper"
  }
  flaw "jumper" "weak" {
    odds = 2
    min  = 0.05
    max  = 5
    what = "a jumper under the piece makes poor contact"
    look = "open the bottom, clean or solder both ends of the jumper"
    solder = true
  }

  turnout {
    dead_mm = 50
    source = "center: 10 mohm in all, 4.7 of them in a steel jumper (\"Resistance of track sections and connections\", servoguy, about 2010); the paths themselves: common practice, no source"
    conductors = [
      "points left to middle left by rail share 0.5",
      "middle left to through left by rail share 0.5",
      "middle left to diverging left by rail share 0.5",
      "points right to middle right by rail share 0.5",
      "middle right to through right by rail share 0.5",
      "middle right to diverging right by rail share 0.5",
      "points center to middle center by rail share 0.5",
      "middle center to through center by rail share 0.5",
      "middle center to leg center by jumper 0.0047",
      "leg center to diverging center by rail share 0.5",
    ]
  }
  three_way {
    dead_mm = 70
    source = "common practice, no source; jumpers as in the turnout"
    conductors = [
      "points left to middle left by rail share 0.5",
      "middle left to through left by rail share 0.5",
      "middle left to diverging left by rail share 0.5",
      "middle left to third left by rail share 0.5",
      "points right to middle right by rail share 0.5",
      "middle right to through right by rail share 0.5",
      "middle right to diverging right by rail share 0.5",
      "middle right to third right by rail share 0.5",
      "points center to middle center by rail share 0.5",
      "middle center to through center by rail share 0.5",
      "middle center to leg center by jumper 0.0047",
      "leg center to diverging center by rail share 0.5",
      "middle center to leg3 center by jumper 0.0047",
      "leg3 center to third center by rail share 0.5",
    ]
  }
  crossing {
    dead_mm = 50
    source = "common practice, no source"
    conductors = [
      "a1 center to middle center by rail share 0.5",
      "middle center to a2 center by rail share 0.5",
      "b1 center to middle center by rail share 0.5",
      "middle center to b2 center by rail share 0.5",
      "a1 left to middle left by rail share 0.5",
      "middle left to a2 left by rail share 0.5",
      "b1 left to middle left by rail share 0.5",
      "middle left to b2 left by rail share 0.5",
      "a1 right to middle right by rail share 0.5",
      "middle right to a2 right by rail share 0.5",
      "b1 right to middle right by rail share 0.5",
      "middle right to b2 right by rail share 0.5",
    ]
  }
}

# Separate rails: everything that metal-tie has, but no tie joins the outers.
construction "roadbed" {
  like   = "metal-tie"
  about  = "moulded roadbed with a sprung contact at every rail end: three rails, separate from each other"
  common = "right"
  tied   = []
  source = "no measured value was found; the figures of metal-tie are assumed"

  lift {
    minutes       = 2
    joint_minutes = 1
    text          = "never pull the pieces straight apart: hold one down and hinge the other up, so that the sprung contacts are not bent"
  }

  flaw "piece" "bridged" {
    rails = ["center", "left"]
    odds  = 0.5
    min   = 0.002
    max   = 2
    what  = "metal lies across the center and the left rail, or a contact is bent against its neighbour"
    look  = "look for a screw or a wheel set between the rails and at the contacts under both ends"
  }
  flaw "piece" "bridged" {
    rails = ["center", "right"]
    odds  = 0.5
    min   = 0.002
    max   = 2
    what  = "metal lies across the center and the right rail, or a contact is bent against its neighbour"
    look  = "look for a screw or a wheel set between the rails and at the contacts under both ends"
  }
  flaw "turnout" "bridged" {
    rails = ["center", "left"]
    odds  = 5
    min   = 0.002
    max   = 2
    what  = "a jumper or a moving rail touches what it should not"
    look  = "throw the turnout and read again: a fault in one position only is at the moving rails; then look at the printed board and the jumpers underneath"
  }
  flaw "turnout" "bridged" {
    rails = ["center", "right"]
    odds  = 5
    min   = 0.002
    max   = 2
    what  = "a jumper or a moving rail touches what it should not"
    look  = "throw the turnout and read again: a fault in one position only is at the moving rails; then look at the printed board and the jumpers underneath"
  }
  flaw "crossing" "bridged" {
    rails = ["center", "left"]
    odds  = 6
    min   = 0.002
    max   = 2
    what  = "the center of the crossing touches an outer rail"
    look  = "look underneath for jumpers that touch, and for anything lying in the flangeways"
  }
  flaw "joint" "open" {
    odds = 1
    what = "a sprung contact is pushed flat and meets nothing"
    look = "look at the contact of that rail on both pieces: it must stand out from its seat by about 30 degrees before the pieces go together; lift it gently"
  }
  flaw "joint" "weak" {
    odds = 2
    min  = 0.05
    max  = 5
    what = "a sprung contact was hooked and crushed when the pieces were pushed together, or is dirty"
    look = "look at the contact of that rail on both pieces; bend it back to about 30 degrees, wipe it clean, and hinge the pieces together instead of pushing"
  }
  flaw "gap" "bridged" {
    odds = 3
    min  = 0.002
    max  = 1
    what = "the contact that was folded away has sprung back"
    look = "fold the contact back against its seat, on the right rail, at both ends of the stretch"
  }
  flaw "feeder" "weak" {
    odds = 2
    min  = 0.05
    max  = 5
    what = "the feeder's plug sits badly: one blade above, one below its rail"
    look = "lay the piece flat on the table and push the plug straight in"
  }

  turnout {
    dead_mm = 50
    source = "common practice, no source; jumpers assumed 5 mohm"
    conductors = [
      "points center to middle center by rail share 0.5",
      "middle center to through center by rail share 0.5",
      "middle center to leg center by jumper 0.005",
      "leg center to diverging center by rail share 0.5",
      "points left to middle left by rail share 0.5",
      "middle left to diverging left by rail share 0.5",
      "middle left to closure left by jumper 0.005",
      "closure left to through left by rail share 0.5",
      "points right to middle right by rail share 0.5",
      "middle right to through right by rail share 0.5",
      "middle right to closure right by jumper 0.005",
      "closure right to diverging right by rail share 0.5",
    ]
  }
  # The outer stock rails lead to the outer legs; all rails between the frogs have jumpers.
  three_way {
    dead_mm = 70
    source = "common practice, no source; jumpers assumed 5 mohm"
    conductors = [
      "points center to middle center by rail share 0.5",
      "middle center to through center by rail share 0.5",
      "middle center to leg center by jumper 0.005",
      "leg center to diverging center by rail share 0.5",
      "middle center to leg3 center by jumper 0.005",
      "leg3 center to third center by rail share 0.5",
      "points left to middle left by rail share 0.5",
      "middle left to diverging left by rail share 0.5",
      "middle left to closure left by jumper 0.005",
      "closure left to through left by rail share 0.5",
      "middle left to closure3 left by jumper 0.005",
      "closure3 left to third left by rail share 0.5",
      "points right to middle right by rail share 0.5",
      "middle right to third right by rail share 0.5",
      "middle right to closure right by jumper 0.005",
      "closure right to through right by rail share 0.5",
      "middle right to closure2 right by jumper 0.005",
      "closure2 right to diverging right by rail share 0.5",
    ]
  }
  crossing {
    dead_mm = 50
    source = "common practice, no source; jumpers assumed 5 mohm"
    conductors = [
      "a1 center to middle center by rail share 0.5",
      "middle center to a2 center by rail share 0.5",
      "b1 center to middle center by rail share 0.5",
      "middle center to b2 center by rail share 0.5",
      "a1 left to middle left by rail share 0.5",
      "middle left to a2 left by rail share 0.5",
      "b1 left to middle left by rail share 0.5",
      "middle left to b2 left by rail share 0.5",
      "a1 right to middle right by rail share 0.5",
      "middle right to a2 right by rail share 0.5",
      "b1 right to middle right by rail share 0.5",
      "middle right to b2 right by rail share 0.5",
      "middle left to middle right by jumper 0.005",
    ]
  }
}

construction "solid-rail" {
  like   = "roadbed"
  about  = "solid rail on plastic ties with slide-on joiners: three rails, separate from each other"
  source = "no measured value was found; the figures of metal-tie are assumed"

  lift {
    minutes       = 3
    joint_minutes = 1.5
    text          = "take the screws out and slide the piece straight along until the joiners are free; keep every joiner on the same rail it came from"
  }
  flaw "joint" "open" {
    odds = 1
    what = "the joiner is missing on that rail or has ridden under it"
    look = "look at the joiner from below: it must grip the foot of both rails; put one in where it is missing"
  }
  flaw "joint" "weak" {
    odds = 2
    min  = 0.05
    max  = 5
    what = "the joiner has opened up, or is an old flat-bottomed one that holds but does not press"
    look = "squeeze the joiner, or take one whose floor has dimples; clean the underside of both rail ends"
  }
  flaw "gap" "bridged" {
    odds = 3
    min  = 0.002
    max  = 1
    what = "a metal joiner sits where an insulating one belongs, or the rail ends touch past its barrier"
    look = "look for the barrier standing between the rail ends and for a metal joiner put there by habit"
  }
  flaw "feeder" "weak" {
    odds = 2
    min  = 0.05
    max  = 5
    what = "the feeder's joiner or screw is loose or dirty"
    look = "press the wired joiner and tighten every screw of the feeder"
  }
}

construction "two-rail" {
  about  = "plain two-rail joiner track"
  rails  = ["left", "right"]
  hot    = "right"
  common = "left"
  source = "code 100 nickel silver 57 mohm a meter, \"Track Resistance\", W8JI, 1 A DC; 1.5 mohm a good joint taken from three-rail track; the rest assumed"

  rail {
    ohms_per_meter = 0.057
    spread         = 0.08
    level          = 0.4
  }
  joint {
    ohms   = 0.0015
    spread = 0.6
    level  = 0.5
  }
  clip {
    ohms   = 0.003
    spread = 0.7
  }
  lift {
    minutes       = 3
    joint_minutes = 1.5
    text          = "slide the piece straight along until the joiners are free; glued or ballasted track is soaked first"
  }

  flaw "piece" "bridged" {
    rails = ["left", "right"]
    odds  = 0.5
    min   = 0.002
    max   = 2
    what  = "metal lies across the two rails"
    look  = "look for a tool, a spike, a wheel set or wet glue between the rails"
  }
  flaw "piece" "open" {
    odds = 0.1
    what = "a rail is broken inside the piece"
    look = "slide a probe along the rail until the reading jumps"
  }
  flaw "turnout" "bridged" {
    rails = ["left", "right"]
    odds  = 10
    min   = 0.002
    max   = 2
    what  = "a gap at the frog or in a tie is not really open, or metal lies at the points"
    look  = "throw the turnout and read again: a fault in one position only is at the points; then look at every gap with a strong light and run a blade through it"
  }
  flaw "crossing" "bridged" {
    rails = ["left", "right"]
    odds  = 8
    min   = 0.002
    max   = 2
    what  = "a gap of the crossing is bridged"
    look  = "run a blade through every gap and look for stray metal"
  }
  flaw "joint" "open" {
    odds = 1
    what = "the joiner is missing or has ridden under the rail"
    look = "look at the joiner from the side: it must grip the foot of both rails"
  }
  flaw "joint" "weak" {
    odds = 2
    min  = 0.05
    max  = 5
    what = "the joiner is loose or dirty"
    look = "press the joiner, clean the rail ends, put in a new one"
  }
  flaw "gap" "bridged" {
    odds = 3
    min  = 0.002
    max  = 1
    what = "the gap has closed, holds metal-bearing dirt, or has a metal joiner"
    look = "run a blade through the gap and glue a slip of plastic into it"
  }
  flaw "feeder" "open" {
    odds = 2
    what = "a wire of the feeder is off or broken"
    look = "follow the wire from the supply to the rail and pull at every end of it"
  }
  flaw "feeder" "weak" {
    odds = 2
    min  = 0.05
    max  = 5
    what = "a solder joint or screw of the feeder is bad"
    look = "press and pull at each solder joint and tighten the screws"
    solder = true
  }
  flaw "feeder" "swapped" {
    odds = 1
    what = "the two wires of the feeder have changed places"
    look = "compare the colours at the rail and at the supply with another feeder"
  }
  flaw "feeder" "bridged" {
    odds = 0.5
    min  = 0.002
    max  = 1
    what = "the two wires of the feeder touch"
    look = "look for bare strands at the posts and where the cable is pinched"
  }
  flaw "jumper" "open" {
    odds = 2
    what = "a jumper under the piece is off"
    look = "look at both ends of the jumper underneath"
  }
  flaw "jumper" "weak" {
    odds = 2
    min  = 0.05
    max  = 5
    what = "a jumper under the piece makes poor contact"
    look = "look at both ends of the jumper underneath and solder them"
    solder = true
  }

  # All rails live, the frog insulated and dead.
  turnout {
    dead_mm = 25
    source = "common practice, no source; jumpers assumed 5 mohm"
    conductors = [
      "points left to middle left by rail share 0.5",
      "middle left to diverging left by rail share 0.5",
      "middle left to closure left by jumper 0.005",
      "closure left to through left by rail share 0.5",
      "points right to middle right by rail share 0.5",
      "middle right to through right by rail share 0.5",
      "middle right to closure right by jumper 0.005",
      "closure right to diverging right by rail share 0.5",
    ]
  }
  # The outer stock rails lead to the outer legs; all rails between the frogs have jumpers.
  three_way {
    dead_mm = 40
    source = "common practice, no source; jumpers assumed 5 mohm"
    conductors = [
      "points left to middle left by rail share 0.5",
      "middle left to diverging left by rail share 0.5",
      "middle left to closure left by jumper 0.005",
      "closure left to through left by rail share 0.5",
      "middle left to closure3 left by jumper 0.005",
      "closure3 left to third left by rail share 0.5",
      "points right to middle right by rail share 0.5",
      "middle right to third right by rail share 0.5",
      "middle right to closure right by jumper 0.005",
      "closure right to through right by rail share 0.5",
      "middle right to closure2 right by jumper 0.005",
      "closure2 right to diverging right by rail share 0.5",
    ]
  }
  crossing {
    dead_mm = 25
    source = "common practice, no source; jumpers assumed 5 mohm"
    conductors = [
      "a1 left to a-mid left by rail share 0.5",
      "a-mid left to a2 left by jumper 0.005",
      "a1 right to a-mid right by rail share 0.5",
      "a-mid right to a2 right by jumper 0.005",
      "b1 left to b-mid left by rail share 0.5",
      "b-mid left to b2 left by jumper 0.005",
      "b1 right to b-mid right by rail share 0.5",
      "b-mid right to b2 right by jumper 0.005",
    ]
  }
  # A train may change from one way to the other, so their left rails are one
  # conductor, and so are their right ones.
  slip {
    dead_mm = 25
    source = "common practice, no source"
    conductors = [
      "a1 left to middle left by rail share 0.5",
      "middle left to a2 left by rail share 0.5",
      "b1 left to middle left by rail share 0.5",
      "middle left to b2 left by rail share 0.5",
      "a1 right to middle right by rail share 0.5",
      "middle right to a2 right by rail share 0.5",
      "b1 right to middle right by rail share 0.5",
      "middle right to b2 right by rail share 0.5",
    ]
  }
}

# The same track with turnouts whose points send the current only where the
# train goes.
construction "two-rail-routing" {
  like  = "two-rail"
  about = "two-rail joiner track with power-routing turnouts: the leg that the points are not set for is dead"

  turnout {
    dead_mm = 12
    source = "common practice, no source; contact of the points assumed 5 mohm"
    conductors = [
      "points left to middle left by rail share 0.5",
      "middle left to diverging left by rail share 0.5",
      "points right to middle right by rail share 0.5",
      "middle right to through right by rail share 0.5",
      "middle left to frog left by jumper 0.005 when through",
      "frog left to through left by rail share 0.5",
      "middle right to frog right by jumper 0.005 when diverging",
      "frog right to diverging right by rail share 0.5",
    ]
  }
  # Through: the two ways straight across; diverging: the slips from a1 to b2 and
  # from b1 to a2. The rails that cross at the frogs take their side from that.
  slip {
    dead_mm = 12
    source = "common practice, no source; contact of the points assumed 5 mohm"
    conductors = [
      "a1 left to middle left by rail share 0.5",
      "middle left to b2 left by rail share 0.5",
      "b1 right to middle right by rail share 0.5",
      "middle right to a2 right by rail share 0.5",
      "a1 right to a-frog right by rail share 0.5",
      "a-frog right to middle right by jumper 0.005 when through",
      "b1 left to b-frog left by rail share 0.5",
      "b-frog left to middle left by jumper 0.005 when through",
      "a-frog right to b2 right by jumper 0.005 when diverging",
      "middle right to b2 right by jumper 0.005 when through",
      "b-frog left to a2 left by jumper 0.005 when diverging",
      "middle left to a2 left by jumper 0.005 when through",
    ]
  }
  # As the double slip, without the way from b1 to a2.
  single_slip {
    dead_mm = 12
    source = "common practice, no source; contact of the points assumed 5 mohm"
    conductors = [
      "a1 left to middle left by rail share 0.5",
      "middle left to b2 left by rail share 0.5",
      "b1 right to middle right by rail share 0.5",
      "middle right to a2 right by rail share 0.5",
      "a1 right to a-frog right by rail share 0.5",
      "a-frog right to middle right by jumper 0.005 when through",
      "a-frog right to b2 right by jumper 0.005 when diverging",
      "middle right to b2 right by jumper 0.005 when through",
      "b1 left to b-frog left by rail share 0.5",
      "b-frog left to middle left by jumper 0.005 when through",
      "middle left to a2 left by jumper 0.005 when through",
    ]
  }
}

# The same track with turnouts whose frog is live: one piece of metal with both
# rails behind it, given the side of the rail on which the points lie. A feeder
# beyond it needs gaps in both of those rails.
construction "two-rail-live-frog" {
  like  = "two-rail"
  about = "two-rail joiner track with live frogs: the frog and both rails behind it take the side of the rail on which the points lie"

  turnout {
    dead_mm = 0
    source = "common practice, no source; contact of the points assumed 5 mohm"
    conductors = [
      "points left to middle left by rail share 0.5",
      "middle left to diverging left by rail share 0.5",
      "points right to middle right by rail share 0.5",
      "middle right to through right by rail share 0.5",
      "middle left to frog left by jumper 0.005 when through",
      "middle right to frog left by jumper 0.005 when diverging",
      "frog left to through left by rail share 0.5",
      "frog left to diverging right by rail share 0.5",
    ]
  }
}
