# Invented for the lessons: a shelf in two blocks. The center rail is insulated
# between main 7 and 8, and each block has a feeder of its own.
name         = "Two blocks"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["14 x straight 10", "bumper"] }
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
feeder "F1" {
  at     = "main 2"
  supply = "T1"
  wire   = "16 AWG"
  length = "3 ft"
}
feeder "F2" {
  at     = "main 10"
  supply = "T1"
  wire   = "16 AWG"
  length = "8 ft"
}
insulated "main 7/8" { rails = ["center"] }
