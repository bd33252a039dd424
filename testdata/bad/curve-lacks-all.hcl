# Bad on purpose: curve-lacks-all
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = [
    "curve",
  ]
}
# Invented, with its mistakes.
