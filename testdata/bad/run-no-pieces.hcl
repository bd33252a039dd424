# Bad on purpose: run-no-pieces
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { }
# Invented, with its mistakes.
