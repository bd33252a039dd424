number  = 2
title   = "A dead end"
layout  = "branch.layout.hcl"
teaches = [
  "While the track is whole, a short beeps everywhere: the beeper cannot tell near from far.",
  "On a run that ends at a bumper one open joint makes two parts. The part that still beeps has the short in it (lift main 8/9, beep main 4).",
  "Open the joint in the middle of what is left, and half of it is ruled out each time: 14 pieces take four cuts, not fourteen.",
]
goal    = "Find the shorted piece with no more than five joints opened."
symptom = "short"
meters  = ["beeper"]
plays   = ["program", "halving"]
after   = "Each cut halves what is left, so twice the track costs one cut more. Starting at the end would have cost seven cuts on average."
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
check "joints" {
  at_most = 5
  says    = "no more than five joints were opened"
}
check "wrong" {
  at_most = 3
  says    = "no more than three good pieces were lifted"
}
