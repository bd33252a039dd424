# Bad on purpose: no-run
name         = "Bad"
units        = "in"
construction = "metal-tie"
# Invented, with its mistakes.
