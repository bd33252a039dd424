# Invented for the lessons: a short shelf with one train on it.
name         = "Short shelf"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["5 x straight 10", "bumper"] }
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
feeder "F1" {
  at     = "main 1"
  supply = "T1"
  wire   = "16 AWG"
  length = "3 ft"
}
