# Bad on purpose: insulated-rail
name = "Bad"
units = "in"
construction = "two-rail"
run "main" { pieces = ["20 x straight 10"] }
insulated "main 7/8" { rails = ["center"] }
# Invented, with its mistakes.
