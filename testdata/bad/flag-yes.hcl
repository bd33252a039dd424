# Bad on purpose: flag-yes
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  closes = yes
  pieces = ["12 x curve left radius 18 angle 30"]
}
# Invented, with its mistakes.
