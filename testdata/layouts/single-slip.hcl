# Invented: two two-rail lines that cross over a single slip, and a three-way turnout behind it; the points of the slip route the current.
name         = "Single slip"
units        = "mm"
construction = "two-rail-routing"
run "main" {
  pieces = ["bumper", "3 x straight 200", "slip 15 single length 240 as D1", "4 x straight 200", "bumper"]
}
run "loop" {
  from   = "D1 b1"
  pieces = ["curve right radius 600 angle 15", "3 x straight 200", "bumper"]
}
run "yard" {
  from   = "D1 b2"
  pieces = ["2 x straight 200", "turnout three-way radius 600 angle 15 as W1", "3 x straight 200", "bumper"]
}
run "yard2" {
  from   = "W1 diverging"
  pieces = ["3 x straight 200", "bumper"]
}
run "yard3" {
  from   = "W1 third"
  pieces = ["3 x straight 200", "bumper"]
}
supply "P1" {
  current = "dc"
  volts   = 12
  breaker = 1.5
}
feeder "F1" {
  at     = "main 3"
  supply = "P1"
  wire   = "0.75 mm2"
  length = "1.5 m"
}
feeder "F2" {
  at     = "loop 3"
  supply = "P1"
  wire   = "0.75 mm2"
  length = "2 m"
  hot    = "left"
  common = "right"
}
