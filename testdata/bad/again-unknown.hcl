# Bad on purpose: again-unknown
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = [
    "crossing 90 length 10 as X1",
    "straight 10",
    "X2 again",
  ]
}
# Invented, with its mistakes.
