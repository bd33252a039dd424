# Bad on purpose: angle-out-of-bounds
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = [
    "curve left diameter 31 angle 450",
  ]
}
# Invented, with its mistakes.
