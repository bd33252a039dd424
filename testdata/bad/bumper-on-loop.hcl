# Bad on purpose: bumper-on-loop
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  closes = true
  pieces = ["3 x straight 10", "bumper"]
}
# Invented, with its mistakes.
