# Bad on purpose: crossed-three-times
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = [
    "crossing 90 length 10 as X1",
    "2 x straight 10",
    "X1 again",
    "2 x straight 10",
    "X1 again",
  ]
}
# Invented, with its mistakes.
