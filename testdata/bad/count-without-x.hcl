# Bad on purpose: count-without-x
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = [
    "4 straight 10",
  ]
}
# Invented, with its mistakes.
