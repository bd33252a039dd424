# Bad on purpose: bumper-in-middle
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = [
    "straight 10",
    "bumper",
    "straight 10",
  ]
}
# Invented, with its mistakes.
