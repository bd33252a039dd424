# Bad on purpose: accented-column
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = [
    "straight 10 as é1",
  ]
}
# Invented, with its mistakes.
