# Bad on purpose: bus-terminal
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
  supply    = "T1"
  terminals = 2.5
  wire      = "14 AWG"
  length    = "6 ft"
}
bus "B2" {
  supply    = "T1"
  terminals = 3
  wire      = "14"
  length    = "6 ft"
}
feeder "F1" {
  at       = "main 3"
  bus      = "B2"
  terminal = 4
  wire     = "16 AWG"
  length   = "6 ft"
}
feeder "F2" {
  at       = "main 4"
  bus      = "B2"
  wire     = "16 AWG"
  length   = "6 ft"
}
# Invented, with its mistakes.
