# Bad on purpose: no-construction
name = "Bad"
units = "in"
run "main" { pieces = ["20 x straight 10"] }
# Invented, with its mistakes.
