# Bad on purpose: piece-not-text
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = [
    10,
  ]
}
# Invented, with its mistakes.
