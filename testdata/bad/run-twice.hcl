# Bad on purpose: run-twice
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
run "main" { pieces = ["straight 10"] }
# Invented, with its mistakes.
