# Invented: an oval in three blocks, each switched on its own, fed from a bus and a terminal strip.
name         = "Three blocks"
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
# under the long side of the table
bus "B1" {
  supply    = "T1"
  terminals = 3
  wire      = "14 AWG"
  length    = "18 ft"
}
strip "P1" {
  bus       = "B1"
  terminal  = 3
  terminals = 4
  wire      = "16 AWG"
  length    = "3 ft"
}
toggle "S1" {
  bus      = "B1"
  terminal = 1
}
toggle "S2" {
  bus      = "B1"
  terminal = 2
}
toggle "S3" {
  bus      = "P1"
  terminal = 2
  switches = "both"
}
insulated "main 24/1" { rails = ["center"] }
insulated "main 8/9" { rails = ["center"] }
insulated "main 16/17" { rails = ["center"] }
feeder "F1" {
  at     = "main 4"
  toggle = "S1"
  wire   = "16 AWG"
  length = "2 ft"
}
feeder "F2" {
  at     = "main 12/13"
  toggle = "S2"
  wire   = "16 AWG"
  length = "2 ft"
}
feeder "F3" {
  at     = "main 17/16"
  toggle = "S3"
  wire   = "16 AWG"
  length = "3 ft"
}
feeder "F4" {
  at     = "main 22"
  toggle = "S3"
  wire   = "16 AWG"
  length = "3 ft"
}
block "front" {
  from   = "main 1"
  to     = "main 8"
  toggle = "S1"
}
block "left end" {
  from   = "main 9"
  to     = "main 16"
  toggle = "S2"
}
block "back" {
  from   = "main 17"
  to     = "main 24"
  toggle = "S3"
}
train "freight" {
  axles   = "7 in"
  pickups = "5 in"
  amps    = 3
}
module "window side" {
  from = "main 9"
  to   = "main 14"
}
module "its far end" {
  from  = "main 17"
  to    = "main 18"
  board = "window side"
}
