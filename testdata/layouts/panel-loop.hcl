# Invented for tests: a closed loop of 60 pieces with one feeder, and two places
# from which thin wires come to a labelled block beside it.
name         = "Long oval with a panel"
units        = "in"
construction = "metal-tie"
run "main" {
  closes = true
  pieces = ["26 x straight 10", "4 x curve left diameter 31 angle 45", "26 x straight 10", "4 x curve left diameter 31 angle 45"]
}
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
feeder "F1" {
  at     = "main 1/2"
  supply = "T1"
  wire   = "16 AWG"
  length = "6 ft"
}
terminal "A1" { # by the tunnel
  at     = "main 21/22"
  wire   = "22 AWG"
  length = "15 ft"
}
terminal "A2" {
  at     = "main 41/42"
  wire   = "22 AWG"
  length = "18 ft"
  wires  = "hot"
}
