# Bad on purpose: name-is-number
name = 12
units = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
# Invented, with its mistakes.
