# Invented: the same on track whose ties join the outer rails, so the insulated rail lies on pieces without such ties; a turnout that
# senses a train from the wrong leg, with its two rails cut off from the pieces behind.
name         = "Crossing bell"
units        = "in"
construction = "metal-tie"
run "main" {
  closes = true
  pieces = ["straight 10", "turnout left diameter 31 angle 45 through 10 sensing as W1", "6 x straight 10", "4 x curve left diameter 31 angle 45",
    "2 x straight 10", "4 x straight 10 untied", "2 x straight 10", "4 x curve left diameter 31 angle 45"]
}
run "spur" {
  from   = "W1 diverging"
  pieces = ["curve right diameter 31 angle 45", "2 x straight 10", "bumper"]
}
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
feeder "F1" {
  at     = "main 5"
  supply = "T1"
  wire   = "16 AWG"
  length = "6 ft"
}
accessory "bell" {
  kind   = "relay"
  volts  = 14
  amps   = 0.4
  supply = "T1"
}
insulated "main 14/15" { rails = ["left"] }
insulated "main 18/19" { rails = ["left"] }
insulated_rail "bell rail" {
  rail   = "left"
  from   = "main 14/15"
  to     = "main 18/19"
  tap    = "main 17"
  works  = "bell"
  wire   = "0.5 mm2"
  length = "1.2 m"
}
insulated "main 2/3" { rails = ["left"] }
insulated "main 2/spur 1" { rails = ["right"] }
