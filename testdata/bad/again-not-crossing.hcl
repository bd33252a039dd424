# Bad on purpose: again-not-crossing
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = [
    "straight 10 as S1",
    "straight 10",
    "S1 again",
  ]
}
# Invented, with its mistakes.
