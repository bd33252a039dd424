# Bad on purpose: hidden-overlap
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
hidden "tunnel" {
  from = "main 1"
  to = "main 4"
  minutes = 6
}
hidden "hill" {
  from = "main 4"
  to = "main 6"
  minutes = 6
}
# Invented, with its mistakes.
