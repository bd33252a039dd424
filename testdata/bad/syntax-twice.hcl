# Bad on purpose: syntax-twice
name         = "Bad"
units        = "in"
construction = "metal-tie"
name = "Again"
run "main" { pieces = ["20 x straight 10"] }
# Invented, with its mistakes.
