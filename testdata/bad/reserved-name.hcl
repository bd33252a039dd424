# Bad on purpose: reserved-name
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = [
    "straight 10 as end",
  ]
}
# Invented, with its mistakes.
