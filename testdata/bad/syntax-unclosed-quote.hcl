# Bad on purpose: syntax-unclosed-quote
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = ["straight 10]
}
# Invented, with its mistakes.
