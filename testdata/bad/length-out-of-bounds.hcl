# Bad on purpose: length-out-of-bounds
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = [
    "straight 12000 mm",
    "curve left radius 0.1 in angle 45",
  ]
}
# Invented, with its mistakes.
