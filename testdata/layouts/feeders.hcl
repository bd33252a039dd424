# Invented: an oval in two blocks whose feeders stand right at the gaps, so that a wire on the wrong side of one leaves its block dead.
name         = "Feeders at the gaps"
units        = "in"
construction = "metal-tie"
run "main" {
  closes = true
  pieces = ["8 x straight 10", "4 x curve left diameter 31 angle 45", "8 x straight 10", "4 x curve left diameter 31 angle 45"]
}
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
bus "B1" {
  supply    = "T1"
  terminals = 3
  wire      = "14 AWG"
  length    = "12 ft"
}
toggle "S1" {
  bus      = "B1"
  terminal = 1
}
toggle "S2" {
  bus      = "B1"
  terminal = 3
  usually  = "off"
}
insulated "main 24/1" { rails = ["center"] }
insulated "main 12/13" { rails = ["center"] }
feeder "F1" {
  at     = "main 12/13"
  toggle = "S1"
  wire   = "16 AWG"
  length = "3 ft"
}
feeder "F2" {
  at     = "main 13/12"
  toggle = "S2"
  wire   = "16 AWG"
  length = "3 ft"
}
block "front" {
  from   = "main 1"
  to     = "main 12"
  toggle = "S1"
}
block "back" {
  from   = "main 13"
  to     = "main 24"
  toggle = "S2"
}
