# Invented for tests: a two-rail shelf with a block behind a pair of gaps.
name         = "Bookshelf"
units        = "mm"
construction = "two-rail"
run "main" {
  pieces = ["bumper", "4 x straight 230", "turnout right radius 440 angle 22.5 as W1", "6 x straight 230", "bumper"]
}
run "back" {
  from         = "W1 diverging"
  construction = "two-rail-routing"
  pieces       = ["curve left radius 440 angle 22.5", "4 x straight 230", "turnout left radius 440 angle 22.5 as W2", "2 x straight 230", "bumper"]
}
run "stub" {
  from   = "W2 diverging"
  pieces = ["straight 9 in", "bumper"]
}
supply "P1" {
  current = "dc"
  volts   = 12
  breaker = 1.5
}
feeder "F1" {
  at     = "main 2"
  supply = "P1"
  wire   = "0.75 mm2"
  length = "1.5 m"
}
feeder "F2" {
  at     = "back 4/5"
  supply = "P1"
  wire   = "0.5 mm2"
  length = 900
  hot    = "right"
  common = "left"
}
insulated "main 8/9" { rails = ["left", "right"] }
feeder "F3" {
  at     = "main 12"
  supply = "P1"
  wire   = "0.75 mm2"
  length = "2 m"
}
