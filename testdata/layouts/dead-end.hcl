# Invented for tests: the simplest layout, one straight run that ends at a bumper.
name         = "Long shelf"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10", "bumper"] }
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
feeder "F1" {
  at     = "main 1"
  supply = "T1"
  wire   = "18 AWG"
  length = "3 ft"
}
