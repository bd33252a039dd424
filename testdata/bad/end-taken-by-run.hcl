# Bad on purpose: end-taken-by-run
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = [
    "turnout left diameter 31 angle 45 as W1",
    "straight 10",
  ]
}
run "a" {
  from = "W1 through"
  pieces = ["straight 10"]
}
# Invented, with its mistakes.
