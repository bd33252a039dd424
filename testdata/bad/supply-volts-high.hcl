# Bad on purpose: supply-volts-high
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
supply "T1" {
  current = "ac"
  volts   = 230
  breaker = 10
}
# Invented, with its mistakes.
