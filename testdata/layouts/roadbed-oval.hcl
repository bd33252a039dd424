# Invented for tests: moulded roadbed with an insulated outer rail for an accessory.
name         = "Carpet oval"
units        = "in"
construction = "roadbed"
run "main" {
  closes = true
  pieces = ["8 x straight 10", "4 x curve right diameter 31 angle 45", "8 x straight 10", "4 x curve right diameter 31 angle 45"]
}
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 7
}
feeder "F1" {
  at     = "main 2"
  supply = "T1"
  wire   = "18 AWG"
  length = "4 ft"
}
# the bell's rail: four straights on the far side
insulated "main 14/15" { rails = ["left"] }
insulated "main 18/19" { rails = ["left"] }
landmark "bell" { at = "main 16/17" }
