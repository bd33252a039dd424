number  = 6
title   = "Weak joints"
layout  = "branch.layout.hcl"
teaches = [
  "A joint of two ohm beeps like a good one, and without a train it passes the full volts. It fails when a train wants its ampere.",
  "So test under load: lay a lamp across the rails beyond the place (load main 14), switch on, and read volts.",
  "Read along one rail, from the feeder on. Where the volts jump from one side of a joint to the other, there it is.",
]
goal    = "Find the weak contact. A reading under load is worth more than any number of beeps."
symptom = "weak"
meters  = ["beeper", "ohms", "volts", "millivolts", "lamp"]
plays   = ["program"]
after   = "Volts are lost where current meets resistance, and nowhere else. No current, no loss, no reading."
hidden {
  mode = "weak"
  part = "joint"
  run  = "main"
  rail = "center"
}
check "found" {
  at_least = 1
  says     = "the weak contact is found"
}
check "loaded" {
  at_least = 1
  says     = "a reading was taken under load"
}
check "joints" {
  at_most = 0
  says    = "no joint was opened to measure"
}
check "wrong" {
  at_most = 2
  says    = "no more than two good pieces were lifted"
}
