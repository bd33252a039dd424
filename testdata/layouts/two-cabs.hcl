# Invented: an oval in two blocks, each run from one of two supplies by a toggle; their commons are joined.
name         = "Two cabs"
units        = "in"
construction = "metal-tie"
run "main" {
  closes = true
  pieces = ["8 x straight 10", "4 x curve left diameter 31 angle 45", "8 x straight 10", "4 x curve left diameter 31 angle 45"]
}
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 7
}
supply "T2" {
  current = "ac"
  volts   = 18
  breaker = 7
  phase   = "in phase"
  common  = "T1"
}
toggle "S1" {
  supply = "T1"
  other  = "T2"
}
toggle "S2" {
  supply = "T1"
  other  = "T2"
}
insulated "main 24/1" { rails = ["center"] }
insulated "main 12/13" { rails = ["center"] }
feeder "F1" {
  at     = "main 5"
  toggle = "S1"
  wire   = "16 AWG"
  length = "5 ft"
}
feeder "F2" {
  at     = "main 17"
  toggle = "S2"
  wire   = "16 AWG"
  length = "7 ft"
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
