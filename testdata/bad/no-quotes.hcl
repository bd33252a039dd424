# Bad on purpose: no-quotes
name = "Bad"
units = in_
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
# Invented, with its mistakes.
