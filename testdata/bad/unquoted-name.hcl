# Bad on purpose: unquoted-name
name         = "Bad"
units        = "in"
construction = "metal-tie"
note "main 1" {
  text = two new pins
}
run "main" { pieces = ["8 x straight 10", "bumper"] }
# Invented, with its mistakes.
