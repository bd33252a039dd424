name = "Bad"
units = "in"
construction = "metal-tie"
run "main" {
  pieces = [
    "turnout three-way radius 36 angle 22.5 curved radius 50",
    "turnout three-way radius 36 angle 22.5 sensing",
    "turnout left three-way radius 36 angle 22.5",
    "turnout left radius 36 angle 22.5 as W1",
    "crossing 30 single length 10",
    "slip 30 single single length 10",
    "straight 10",
  ]
}
run "side" {
  from = "W1 third"
  pieces = ["straight 10"]
}
# Invented, with its mistakes.
