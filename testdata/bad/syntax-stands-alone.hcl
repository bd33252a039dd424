# Bad on purpose: syntax-stands-alone
name         = "Bad"
units        = "in"
construction = "metal-tie"
unit = "in"
run "main" {
  pieces = ["strait 10"] oops
}
# Invented, with its mistakes.
