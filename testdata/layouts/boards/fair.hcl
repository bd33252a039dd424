# Invented for tests: a portable layout, a place that stays and three boards beside it, one of them
# with a yard of its own.
name         = "Fair"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["14 x straight 10"] }
run "yard" { pieces = ["4 x straight 10"] }
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
feeder "F1" {
  at     = "main 2"
  supply = "T1"
  wire   = "16 AWG"
  length = "4 ft"
}
feeder "F2" {
  at     = "main 12"
  supply = "T1"
  wire   = "16 AWG"
  length = "8 ft"
}
insulated "main 10/11" { rails = ["center"] }
module "bridge" {
  from = "main 6"
  to   = "main 8"
}
module "station" {
  from = "main 9"
  to   = "main 10"
}
module "far end" {
  from = "main 11"
  to   = "main 14"
}
module "its yard" {
  from  = "yard 3"
  to    = "yard 4"
  board = "far end"
}
