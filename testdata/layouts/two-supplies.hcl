# Invented: two loops side by side with a supply each, joined by a crossover that keeps the center rails apart.
name         = "Two supplies"
units        = "in"
construction = "roadbed"
stock "fork" { piece = "turnout radius 30 angle 22.5" }
run "outer" {
  closes = true
  pieces = ["2 x straight 10", "fork left as W1", "straight 11.4805", "2 x straight 10", "8 x curve left radius 24.5672 angle 22.5",
    "4 x straight 10", "2 x straight 11.4805", "8 x curve left radius 24.5672 angle 22.5"]
}
run "inner" {
  closes = true
  pieces = ["2 x straight 10", "straight 11.4805", "fork left trailing as W2", "2 x straight 10", "8 x curve left radius 20 angle 22.5",
    "4 x straight 10", "2 x straight 11.4805", "8 x curve left radius 20 angle 22.5"]
}
run "over" {
  from = "W1 diverging"
  to   = "W2 diverging"
}
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
supply "T2" {
  current = "ac"
  volts   = 16
  breaker = 7
}
feeder "F1" {
  at     = "outer 1"
  supply = "T1"
  wire   = "14 AWG"
  length = "5 ft"
}
feeder "F2" {
  at     = "inner 10/11"
  supply = "T2"
  wire   = "14 AWG"
  length = "8 ft"
}
# the left rails are common too
feeder "F3" {
  at     = "outer 15"
  supply = "T1"
  wire   = "14 AWG"
  length = "9 ft"
  common = "left"
}
feeder "F4" {
  at     = "inner 27"
  supply = "T2"
  wire   = "14 AWG"
  length = "9 ft"
  common = "left"
}
insulated "outer 3/inner 4" { rails = ["center"] }
