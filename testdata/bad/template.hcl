# Bad on purpose: template
name = "Bad ${what}"
units = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
# Invented, with its mistakes.
