# Bad on purpose: bus-named-run
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
bus "main" {
  supply    = "T1"
  terminals = 2
  wire      = "14 AWG"
  length    = "6 ft"
}
# Invented, with its mistakes.
