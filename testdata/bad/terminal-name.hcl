# Bad on purpose: terminal-name
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
terminal "T1" {
  at     = "main 2"
  wire   = "22 AWG"
  length = "9 ft"
}
# Invented, with its mistakes.
