# Bad on purpose: miss-warning
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  closes = true
  pieces = ["9 x straight 10", "4 x curve left diameter 31 angle 45", "8 x straight 10", "4 x curve left diameter 31 angle 45"]
}
# Invented, with its mistakes.
