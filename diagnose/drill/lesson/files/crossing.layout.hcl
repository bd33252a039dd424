# Invented for the lessons: an oval whose three rails are separate, with a gate
# that is worked by an insulated stretch of the left rail.
name         = "Road crossing"
units        = "in"
construction = "roadbed"
run "main" {
  closes = true
  pieces = ["8 x straight 10", "4 x curve right diameter 31 angle 45", "8 x straight 10", "4 x curve right diameter 31 angle 45"]
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
  length = "4 ft"
}
# the left rail is common too, but for the insulated stretch
feeder "F2" {
  at     = "main 20/21"
  supply = "T1"
  wire   = "16 AWG"
  length = "8 ft"
  common = "left"
}
accessory "gate" {
  kind   = "motor"
  volts  = 18
  amps   = 0.7
  supply = "T1"
}
insulated "main 14/15" { rails = ["left"] }
insulated "main 18/19" { rails = ["left"] }
insulated_rail "road" {
  rail   = "left"
  from   = "main 14/15"
  to     = "main 18/19"
  tap    = "main 16/17"
  works  = "gate"
  wire   = "20 AWG"
  length = "3 ft"
}
landmark "gate" { at = "main 16" }
