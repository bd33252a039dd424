number  = 7
title   = "Insulated rails"
layout  = "crossing.layout.hcl"
teaches = [
  "Between main 14/15 and main 18/19 the left rail touches nothing: it is insulated at both ends, and a tap leads from it to the gate. The gate's other wire is on the supply's hot post.",
  "A train's wheels join the insulated rail to the right one, which is common. Then, and only then, the gate closes.",
  "On all the time: something else joins the insulated rail to common. A gap is bridged, or metal lies across. Dead: the way from the rail to the gate is open.",
  "With the supply off and the gate unplugged the insulated rail must be silent against the rail across from it. If it beeps (beep main 16 left to main 16 right), open one of its two gaps and ask again: silent now, and that gap was the bridge.",
]
goal    = "The gate is on all the time. Find what joins its rail to common, and open and lift no more than five joints and pieces."
symptom = "accessory-on"
meters  = ["beeper", "ohms", "volts"]
plays   = ["program"]
after   = "A gap that conducts is as bad as a joint that does not. Two gaps, one question each: that was the whole hunt."
hidden {
  mode = "bridged"
  part = "gap"
}
check "found" {
  at_least = 1
  says     = "what bridges the rail is found"
}
check "lifts" {
  at_most = 5
  says    = "no more than five joints opened and pieces lifted, all told"
}
