# Bad on purpose: phase-words
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
supply "T2" {
  current = "ac"
  volts   = 18
  breaker = 5
  phase   = "in-phase"
}
supply "T3" {
  current = "dc"
  volts   = 12
  breaker = 5
  phase   = "reversed"
}
# Invented, with its mistakes.
