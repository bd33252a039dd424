# Bad on purpose: missing-units
name = "Bad"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
# Invented, with its mistakes.
