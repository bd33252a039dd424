# Bad on purpose: pieces-not-list
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = "straight 10" }
# Invented, with its mistakes.
