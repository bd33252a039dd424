number  = 10
title   = "A lit lamp is not a short"
layout  = "station.layout.hcl"
teaches = [
  "The lamp in series lights whenever current flows: into a short, but also into a train, or into the lamps of a platform.",
  "A short makes it burn bright. Something that is meant to be there makes it glow.",
  "Nor does a beep mean a short here: a cold lamp is only a few ohm. Trains off, accessories unplugged, then read.",
]
goal    = "The customer hunts a short that is not there. Find what really is wrong, and open no joint for a short."
told    = "The far end is dead, so I put your lamp in the lead, and it lights! So there must be a short. I have been looking for it since Sunday."
symptom = "dead"
meters  = ["beeper", "ohms", "volts", "lamp"]
plays   = ["program", "halving"]
after   = "The platform lamps took the current. A dead end and a short are two different hunts: ask the breaker first."
hidden {
  mode = "open"
  part = "joint"
  run  = "main"
  from = 3
}
check "found" {
  at_least = 1
  says     = "what really was wrong is found"
}
check "joints" {
  at_most = 0
  says    = "no joint was opened in search of a short"
}
check "wrong" {
  at_most = 2
  says    = "no more than two good pieces were lifted"
}
