# Bad on purpose: insulated-piece
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
insulated "main 7" { rails = ["center"] }
# Invented, with its mistakes.
