# Bad on purpose: reads-on
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
run "b" { pieces = ["strait 10"] }
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
feeder "F1" {
  at     = "main 61"
  supply = "T1"
  wire   = "16 AWG"
  length = "6 ft"
}
landmark "mill" { at = "b 4" }
note "mian 3" { text = "x" }
# Invented, with its mistakes.
