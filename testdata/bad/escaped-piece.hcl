# Bad on purpose: escaped-piece
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = [
    "straight\t10",
  ]
}
# Invented, with its mistakes.
