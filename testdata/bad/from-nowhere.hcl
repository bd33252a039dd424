# Bad on purpose: from-nowhere
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = [
    "turnout left diameter 31 angle 45 as W1",
  ]
}
run "siding" {
  from = "W2 diverging"
  pieces = ["straight 10"]
}
# Invented, with its mistakes.
