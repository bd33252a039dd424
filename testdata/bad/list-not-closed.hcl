# Bad on purpose: list-not-closed
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["8 x straight 10", "bumper" }
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
feeder "F1" {
  at     = "main 1"
  supply = "T1"
  wire   = "14 AWG"
  length = "3 ft"
}
# Invented, with its mistakes.
