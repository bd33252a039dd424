# Bad on purpose: confusable-names
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = [
    "straight 10 as W1",
    "straight 10 as WI",
  ]
}
# Invented, with its mistakes.
