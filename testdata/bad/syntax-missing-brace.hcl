# Bad on purpose: syntax-missing-brace
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = ["straight 10"]
# Invented, with its mistakes.
