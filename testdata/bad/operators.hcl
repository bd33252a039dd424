# Bad on purpose: operators
name         = "Bad"
units        = "in"
construction = "metal-tie"
about = -"x"
run "main" { pieces = ["20 x straight 10"] }
# Invented, with its mistakes.
