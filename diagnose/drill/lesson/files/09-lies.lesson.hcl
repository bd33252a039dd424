number  = 9
title   = "When a reading lies"
layout  = "club.layout.hcl"
teaches = [
  "A probe on a dirty rail, or on the next joint, gives a reading that is simply wrong. About one in eight does so here.",
  "A reading that does not fit what the others say is not yet news. Take it again first.",
  "Build on two readings that agree, never on a single odd one.",
]
goal    = "Find the short although some readings lie. Take the odd ones again before you lift anything."
symptom = "short"
slips   = 0.12
meters  = ["beeper", "volts", "millivolts", "lamp"]
plays   = ["program"]
after   = "To take one reading again costs less than a minute. To believe a wrong one costs pieces lifted for nothing."
hidden {
  mode = "bridged"
  part = "piece"
  run  = "main"
}
check "found" {
  at_least = 1
  says     = "the shorted piece is found"
}
check "wrong" {
  at_most = 3
  says    = "no more than three good pieces were lifted"
}
check "joints" {
  at_most = 0
  says    = "no joint was opened"
}
