# Bad on purpose: wrong-units
name = "Bad"
units = "inch"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
# Invented, with its mistakes.
