# Invented: two loops of hand-squeezed track in two blocks, with a crossover each way; in each the center rail is cut between the turnouts.
name         = "Two crossovers"
units        = "in"
construction = "metal-tie"
stock "fork" { piece = "turnout radius 30 angle 22.5" }
run "outer" {
  closes = true
  pieces = ["2 x straight 10", "fork left as W1", "straight 11.4805", "2 x straight 10", "8 x curve left radius 24.5672 angle 22.5",
    "2 x straight 10", "straight 11.4805", "fork right trailing as W4", "2 x straight 10", "8 x curve left radius 24.5672 angle 22.5"]
}
run "inner" {
  closes = true
  pieces = ["2 x straight 10", "straight 11.4805", "fork left trailing as W2", "2 x straight 10", "8 x curve left radius 20 angle 22.5",
    "2 x straight 10", "fork right as W3", "straight 11.4805", "2 x straight 10", "8 x curve left radius 20 angle 22.5"]
}
run "south" {
  from = "W1 diverging"
  to   = "W2 diverging"
}
run "north" {
  from = "W3 diverging"
  to   = "W4 diverging"
}
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
strip "P1" {
  supply    = "T1"
  terminals = 2
  wire      = "12 AWG"
  length    = "6 ft"
}
toggle "S1" {
  bus      = "P1"
  terminal = 1
}
toggle "S2" {
  bus      = "P1"
  terminal = 2
  usually  = "off"
}
feeder "F1" {
  at     = "outer 1"
  toggle = "S1"
  wire   = "14 AWG"
  length = "5 ft"
}
feeder "F2" {
  at     = "inner 10/11"
  toggle = "S2"
  wire   = "14 AWG"
  length = "8 ft"
}
insulated "outer 3/inner 4" { rails = ["center"] }
insulated "inner 17/outer 18" { rails = ["center"] }
