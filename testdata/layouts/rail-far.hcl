# Invented: an insulated rail on track whose three rails are separate; beyond its ends the left rail is joined to nothing, and only wheels
# bring it to common. The feeder stands at a joint, by the usual rail.
name         = "Level crossing"
units        = "in"
construction = "solid-rail"
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
  at     = "main 4/5"
  supply = "T1"
  wire   = "16 AWG"
  length = "4 ft"
}
accessory "flasher" {
  kind   = "signal"
  volts  = 18
  amps   = 0.3
  supply = "T1"
}
insulated "main 14/15" { rails = ["left"] }
insulated "main 18/19" { rails = ["left"] }
insulated_rail "road" {
  rail   = "left"
  from   = "main 14/15"
  to     = "main 18/19"
  tap    = "main 15"
  works  = "flasher"
  wire   = "20 AWG"
  length = "3 ft"
}
