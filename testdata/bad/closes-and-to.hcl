# Bad on purpose: closes-and-to
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  closes = true
  to = "W1 diverging"
  pieces = ["3 x straight 10", "turnout left diameter 31 angle 45 as W1"]
}
# Invented, with its mistakes.
