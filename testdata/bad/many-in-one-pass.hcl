# Bad on purpose: many-in-one-pass
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = [
    "4 x strait 10",
    "curve right diamter 31 angle 45",
    "turnout left diameter 31 as W1",
    "straight 10 inn",
  ]
}
feeder "F1" {
  at     = "main 3/4"
  supply = "T9"
  wire   = "16 AVG"
  length = "6 ft"
}
# Invented, with its mistakes.
