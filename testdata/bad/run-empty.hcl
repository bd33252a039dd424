# Bad on purpose: run-empty
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = [] }
# Invented, with its mistakes.
