# Bad on purpose: count-too-big
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = [
    "1001 x straight 10",
  ]
}
# Invented, with its mistakes.
