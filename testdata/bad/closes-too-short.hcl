# Bad on purpose: closes-too-short
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  closes = true
  pieces = ["2 x curve left diameter 31 angle 180"]
}
# Invented, with its mistakes.
