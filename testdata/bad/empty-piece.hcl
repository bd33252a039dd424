# Bad on purpose: empty-piece
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = [
    "",
  ]
}
# Invented, with its mistakes.
