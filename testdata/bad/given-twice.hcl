# Bad on purpose: given-twice
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = [
    "curve left diameter 31 radius 15 angle 45",
  ]
}
# Invented, with its mistakes.
