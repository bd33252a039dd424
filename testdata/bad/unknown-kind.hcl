# Bad on purpose: unknown-kind
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = [
    "4 x strait 10",
    "straight 10",
  ]
}
# Invented, with its mistakes.
