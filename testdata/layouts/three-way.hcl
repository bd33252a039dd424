# Invented: a three-way turnout before an engine house.
name         = "Three stalls"
units        = "in"
construction = "metal-tie"
run "lead" {
  pieces = ["bumper", "5 x straight 10", "turnout three-way radius 36 angle 22.5 as W1", "3 x straight 10", "bumper"]
}
run "north" {
  from   = "W1 diverging"
  pieces = ["curve right radius 36 angle 22.5", "3 x straight 10", "bumper"]
}
run "south" {
  from   = "W1 third"
  pieces = ["curve left radius 36 angle 22.5", "3 x straight 10", "bumper"]
}
supply "T1" {
  current = "ac"
  volts   = 16
  breaker = 7
}
feeder "F1" {
  at     = "lead 3"
  supply = "T1"
  wire   = "16 AWG"
  length = "4 ft"
}
