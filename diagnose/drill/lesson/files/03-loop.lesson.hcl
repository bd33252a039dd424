number  = 3
title   = "A loop needs two cuts"
layout  = "oval.layout.hcl"
teaches = [
  "Open one joint of a loop, and every piece still hangs together: the other way round conducts. The beeper sounds everywhere, as before.",
  "Two open joints make two parts. Now one of them beeps and the other does not.",
  "From then on what is left is a dead end, and one cut at a time is enough.",
]
goal    = "Find the shorted piece. Have two joints open at once before you trust a beep."
symptom = "short"
meters  = ["beeper"]
plays   = ["program", "halving"]
after   = "A loop costs one cut more than a dead end, no more: the first pair, and then one at a time."
hidden {
  mode = "bridged"
  part = "piece"
  run  = "main"
}
check "found" {
  at_least = 1
  says     = "the shorted piece is found"
}
check "together" {
  at_least = 2
  says     = "two joints were open at once"
}
check "joints" {
  at_most = 6
  says    = "no more than six joints were opened"
}
check "wrong" {
  at_most = 3
  says    = "no more than three good pieces were lifted"
}
