# Invented for the lessons: a closed oval of 16 pieces with one feeder.
name         = "Carpet oval"
units        = "in"
construction = "metal-tie"
run "main" {
  closes = true
  pieces = ["4 x straight 10", "4 x curve left diameter 31 angle 45", "4 x straight 10", "4 x curve left diameter 31 angle 45"]
}
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
feeder "F1" {
  at     = "main 1/2"
  supply = "T1"
  wire   = "16 AWG"
  length = "6 ft"
}
