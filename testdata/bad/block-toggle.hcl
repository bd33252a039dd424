# Bad on purpose: block-toggle
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
toggle "S1" { supply = "T1" }
feeder "F1" {
  at     = "main 3"
  supply = "T1"
  wire   = "16 AWG"
  length = "6 ft"
}
block "yard" {
  from   = "main 2"
  to     = "main 5"
  toggle = "S1"
}
# Invented, with its mistakes.
