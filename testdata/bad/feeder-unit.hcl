# Bad on purpose: feeder-unit
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
feeder "F1" {
  at     = "main 3/4"
  supply = "T1"
  wire   = "16 AWG"
  length = "6 feet"
}
# Invented, with its mistakes.
