# Bad on purpose: bus-ring
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
bus "B1" {
  bus       = "B2"
  terminal  = 1
  terminals = 2
  wire      = "14 AWG"
  length    = "6 ft"
}
strip "B2" {
  toggle    = "S1"
  terminals = 2
  wire      = "14 AWG"
  length    = "6 ft"
}
toggle "S1" {
  bus      = "B1"
  terminal = 1
}
# Invented, with its mistakes.
