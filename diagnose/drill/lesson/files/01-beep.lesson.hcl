number  = 1
title   = "What a beep means"
layout  = "shelf.layout.hcl"
teaches = [
  "A beeper sounds when there is a path of less than about 50 ohm between its probes. It does not say which path.",
  "A train is a path too: its motor and its lamps lie across the rails. So is its wheel, when it stands where it should not.",
  "Before a beep can say anything about the track, everything that lies on the track must be off it.",
]
goal    = "Find out what trips the breaker. No joint need be lifted."
told    = "It trips the moment I switch on. The train was the only thing I put on that shelf, but a train cannot be a short, can it?"
fault   = "train"
meters  = ["beeper"]
plays   = ["program", "halving"]
after   = "The same two probes, before and after the train was lifted off: that was the whole hunt. Take away first what is easy to take away."
check "found" {
  at_least = 1
  says     = "the cause is found"
}
check "looks" {
  at_most = 1
  says    = "no piece was lifted to look"
}
check "wrong" {
  at_most = 0
  says    = "nothing was blamed that was good"
}
