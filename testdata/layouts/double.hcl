# Invented for tests: double track with a crossover each way. The legs of the turnouts meet directly, so the crossover runs have no pieces.
name         = "Double track"
units        = "in"
construction = "solid-rail"
stock "fork" { piece = "turnout radius 30 angle 22.5" } # through 11.4805: both legs end abreast
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
feeder "F1" {
  at     = "outer 1"
  supply = "T1"
  wire   = "14 AWG"
  length = "5 ft"
}
feeder "F2" {
  at     = "inner 10/11"
  supply = "T1"
  wire   = "14 AWG"
  length = "8 ft"
}
