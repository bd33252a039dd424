# Bad on purpose: bus-unknown
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
  at       = "main 3"
  bus      = "B9"
  terminal = 1
  wire     = "16 AWG"
  length   = "6 ft"
}
bus "B1" {
  supply    = "T1"
  terminals = 2
  wire      = "14 AWG"
  length    = "6 ft"
}
# Invented, with its mistakes.
