number  = 5
title   = "Millivolts tell distance"
layout  = "club.layout.hcl"
teaches = [
  "On a loop the current goes to the short both ways round, more of it the shorter way. Read over the same length on each side of the feeder (mv F1 hot to main 1 center, mv F1 hot to main 4 center): the larger of the two is the short way, and if it is three times the other, the short lies a quarter of the way round on that side.",
  "Where the millivolts along the rail stop growing, the current has left the rail: that is the place. A stretch without current reads zero, however long it is.",
  "Do not walk along piece by piece. Read across a wide stretch, then across the half that the reading points at.",
]
goal    = "Find the short on the oval or on its spur, with no joint opened and no more than nine readings."
symptom = "short"
meters  = ["beeper", "volts", "millivolts", "lamp"]
plays   = ["program"]
after   = "Halving with the beeper would have cost a handful of open joints here. Each of your readings told more than a yes or a no."
hidden {
  mode = "bridged"
  part = "piece"
  ohms = [0.02, 0.6]
}
check "found" {
  at_least = 1
  says     = "the shorted piece is found"
}
check "readings" {
  at_most = 9
  says    = "no more than nine readings"
}
check "joints" {
  at_most = 0
  says    = "no joint was opened"
}
check "wrong" {
  at_most = 2
  says    = "no more than two good pieces were lifted"
}
