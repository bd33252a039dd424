# Bad on purpose: decimal-comma
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = [
    "straight 10,5",
  ]
}
# Invented, with its mistakes.
