number  = 4
title   = "A lamp in series"
layout  = "branch.layout.hcl"
teaches = [
  "A bare supply into a short gives all it has: wires and pins get hot, and the breaker takes it away before anything can be read.",
  "A lamp in series lets about one ampere through and no more. It burns bright: that ampere runs to the short and back.",
  "One ampere in a few thousandths of an ohm makes millivolts. Red on the feeder's hot wire, black on the same rail further on: what is shown grows as far as the short, and no further.",
  "The lamp is hot enough to burn skin. Stand it in the open, and switch off between readings.",
]
goal    = "Find the shorted piece by millivolts, and open no joint at all."
symptom = "short"
meters  = ["beeper", "volts", "millivolts", "lamp"]
plays   = ["program"]
after   = "No joint was opened, and nothing can have been bent. The piece was lifted only to put it right."
hidden {
  mode = "bridged"
  part = "piece"
  run  = "main"
  from = 2
  to   = 14
}
check "found" {
  at_least = 1
  says     = "the shorted piece is found"
}
check "millivolts" {
  at_least = 1
  says     = "millivolts were read under the lamp's current"
}
check "joints" {
  at_most = 0
  says    = "no joint was opened"
}
check "wrong" {
  at_most = 2
  says    = "no more than two good pieces were lifted"
}
