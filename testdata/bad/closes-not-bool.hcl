# Bad on purpose: closes-not-bool
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  closes = "yes"
  pieces = ["3 x straight 10"]
}
# Invented, with its mistakes.
