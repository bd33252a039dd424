# Bad on purpose: not-literal
name         = "Bad"
units        = "in"
construction = "metal-tie"
about = upper("x")
run "main" { pieces = ["20 x straight 10"] }
# Invented, with its mistakes.
