# Bad on purpose: to-after-bumper
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = [
    "turnout left diameter 31 angle 45 as W1",
  ]
}
run "a" {
  to = "W1 diverging"
  pieces = ["straight 10", "bumper"]
}
# Invented, with its mistakes.
