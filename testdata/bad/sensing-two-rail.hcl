# Bad on purpose: sensing-two-rail
name         = "Bad"
units        = "in"
construction = "two-rail"
run "main" { pieces = ["20 x straight 10"] }
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
run "side" { pieces = ["turnout left diameter 31 angle 45 sensing as W1"] }
# Invented, with its mistakes.
