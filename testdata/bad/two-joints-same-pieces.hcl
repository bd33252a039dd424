# Bad on purpose: two-joints-same-pieces
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = [
    "turnout left diameter 31 angle 45 as W1",
    "turnout right trailing diameter 31 angle 45 as W2",
  ]
}
run "cross" {
  from = "W1 diverging"
  to = "W2 diverging"
}
# Invented, with its mistakes.
