# Bad on purpose: supply-current
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
supply "T1" {
  current = "AC"
  volts   = 18
  breaker = 10
}
# Invented, with its mistakes.
