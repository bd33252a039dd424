# Bad on purpose: hidden-backwards
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
hidden "tunnel" {
  from = "main 9"
  to = "main 4"
  minutes = 6
}
# Invented, with its mistakes.
