# Bad on purpose: construction-incomplete
name         = "Bad"
units        = "in"
construction = "metal-tie"
construction "mine" { }
run "main" { pieces = ["20 x straight 10"] }
# Invented, with its mistakes.
