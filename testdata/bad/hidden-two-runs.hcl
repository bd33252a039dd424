# Bad on purpose: hidden-two-runs
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
run "b" { pieces = ["straight 10"] }
hidden "tunnel" {
  from = "main 9"
  to = "b 1"
  minutes = 6
}
# Invented, with its mistakes.
