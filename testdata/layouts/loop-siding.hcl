# Invented for tests: an oval with a passing siding, 40 pieces in 25 lines.
name         = "Oval with siding"
units        = "in"
construction = "metal-tie"
run "main" {
  closes = true
  pieces = ["straight 10", "turnout left diameter 31 angle 45 through 10 as W1", "8 x straight 10",
    "turnout right trailing diameter 31 angle 45 through 10 as W2", "straight 10", "4 x curve left diameter 31 angle 45",
    "12 x straight 10", "4 x curve left diameter 31 angle 45"]
}
run "siding" {
  from   = "W1 diverging"
  to     = "W2 diverging"
  pieces = ["curve right diameter 31 angle 45", "5 x straight 10", "straight 6.16", "curve right diameter 31 angle 45"]
}
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
feeder "F1" {
  at     = "main 1"
  supply = "T1"
  wire   = "16 AWG"
  length = "6 ft"
}
