# Bad on purpose: unknown-block
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
feder "F1" { at = "main 3" }
# Invented, with its mistakes.
