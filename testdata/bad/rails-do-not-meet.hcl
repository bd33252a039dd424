# Bad on purpose: rails-do-not-meet
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = [
    "turnout left diameter 31 angle 45 as W1",
  ]
}
run "a" {
  construction = "two-rail"
  from = "W1 diverging"
  pieces = ["straight 10"]
}
# Invented, with its mistakes.
