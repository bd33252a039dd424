# Bad on purpose: trailing-straight
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = [
    "straight 10 trailing",
  ]
}
# Invented, with its mistakes.
