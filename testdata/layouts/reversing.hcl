# Invented for tests: a run that comes back on itself through a turnout.
name         = "Balloon"
units        = "in"
construction = "metal-tie"
run "main" {
  to = "W1 diverging"
  pieces = ["bumper", "6 x straight 10", "turnout left diameter 31 angle 45 as W1", "straight 32.8805",
    "5 x curve left diameter 31 angle 45", "straight 31"]
}
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
feeder "F1" {
  at     = "main 2"
  supply = "T1"
  wire   = "16 AWG"
  length = "6 ft"
}
