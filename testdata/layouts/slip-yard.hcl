# Invented: a two-rail yard throat over a double slip and a curved turnout, all power-routing.
name         = "Slip yard"
units        = "mm"
construction = "two-rail-routing"
run "lead" {
  pieces = ["bumper", "3 x straight 200", "slip 15 length 240 as D1", "2 x straight 200", "turnout right radius 600 angle 15 curved radius 900 as W1", "3 x straight 200", "bumper"]
}
run "freight" {
  from   = "D1 b1"
  pieces = ["3 x straight 200", "bumper"]
}
run "yard1" {
  from   = "D1 b2"
  pieces = ["curve right radius 600 angle 15", "4 x straight 200", "bumper"]
}
run "yard2" {
  from   = "W1 diverging"
  pieces = ["3 x straight 200", "bumper"]
}
supply "P1" {
  current = "dc"
  volts   = 12
  breaker = 1.5
}
feeder "F1" {
  at     = "lead 3"
  supply = "P1"
  wire   = "0.75 mm2"
  length = "1.5 m"
}
feeder "F2" {
  at     = "freight 2"
  supply = "P1"
  wire   = "0.75 mm2"
  length = "2 m"
  hot    = "left"
  common = "right"
}
