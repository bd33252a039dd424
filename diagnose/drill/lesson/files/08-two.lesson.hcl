number  = 8
title   = "Two faults"
layout  = "branch.layout.hcl"
teaches = [
  "Repaired, and still shorted: often there was a second fault all along, and the first repair was right.",
  "With two shorts both parts of a cut may beep. Readings that fit no single place are the sign of it.",
  "After a repair everything is put back and tried: here the customer does it, at home it is one more reading at the supply. Only silence there is the end of the hunt.",
  "What was read before a repair says nothing of the track after it: begin again.",
]
goal    = "Find both shorts."
fault   = "two"
meters  = ["beeper", "volts", "millivolts", "lamp"]
plays   = ["program", "halving"]
after   = "The proof reading after each repair costs less than a minute. A layout given back with the second short costs an evening."
check "found" {
  at_least = 2
  says     = "both shorts are found"
}
check "wrong" {
  at_most = 6
  says    = "no more than six good pieces were lifted"
}
