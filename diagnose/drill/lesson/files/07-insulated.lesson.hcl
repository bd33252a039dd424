number  = 7
title   = "Insulated rails"
layout  = "blocks.layout.hcl"
teaches = [
  "At an insulated joint a rail is meant to make no contact. What lies beyond gets its current from a feeder of its own.",
  "So silence across the gap is right, and a block that is dead as a whole says: look at its own feeder, and at the track behind that.",
  "Work from the supply outwards: post, wire, clip, rail. Beep from each to the next, and the first silence is the place.",
]
goal    = "Find out why one of the two blocks is dead. Do not take the insulated joint for the fault."
symptom = "dead"
meters  = ["beeper", "volts"]
plays   = ["program"]
after   = "A gap cuts a layout into parts with a feeder each. Know which part you are in before you measure."
hidden {
  mode = "open"
  part = "feeder"
}
check "found" {
  at_least = 1
  says     = "the break is found"
}
check "joints" {
  at_most = 0
  says    = "no joint was opened"
}
check "wrong" {
  at_most = 1
  says    = "no more than one good thing was blamed"
}
