# Bad on purpose: block-backwards
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
block "yard" {
  from   = "main 5"
  to     = "main 2"
  toggle = "S1"
}
block "far" { from = "main 7" }
# Invented, with its mistakes.
