# Bad on purpose: run-bad-name
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "7 main" { pieces = ["straight 10"] }
# Invented, with its mistakes.
