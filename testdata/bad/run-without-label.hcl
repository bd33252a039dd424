# Bad on purpose: run-without-label
name         = "Bad"
units        = "in"
construction = "metal-tie"
run { pieces = ["straight 10"] }
# Invented, with its mistakes.
