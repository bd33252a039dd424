# Bad on purpose: unknown-construction
name = "Bad"
units = "in"
construction = "metaltie"
run "main" { pieces = ["20 x straight 10"] }
# Invented, with its mistakes.
