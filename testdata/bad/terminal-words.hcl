# Bad on purpose: terminal-words
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
terminal "A1" {
  at     = "main 2"
  wires  = "all"
  supply = "T1"
}
# Invented, with its mistakes.
