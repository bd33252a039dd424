# Invented for tests: a portable ring of three boards and a place that stays.
name         = "Ring"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = ["8 x straight 10", "4 x curve left diameter 31 angle 45", "8 x straight 10",
    "4 x curve left diameter 31 angle 45"]
  closes = true
}
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
feeder "F1" {
  at     = "main 3"
  supply = "T1"
  wire   = "16 AWG"
  length = "4 ft"
}
feeder "F2" {
  at     = "main 15"
  supply = "T1"
  wire   = "16 AWG"
  length = "8 ft"
}
module "east" {
  from = "main 7"
  to   = "main 12"
}
module "north" {
  from = "main 13"
  to   = "main 18"
}
module "west" {
  from = "main 19"
  to   = "main 24"
}
