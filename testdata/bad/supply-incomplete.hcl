# Bad on purpose: supply-incomplete
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
supply "T1" { current = "ac" }
# Invented, with its mistakes.
