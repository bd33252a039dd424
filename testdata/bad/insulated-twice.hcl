# Bad on purpose: insulated-twice
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
insulated "main 7/8" { rails = ["center"] }
insulated "main 8/7" { rails = ["left"] }
# Invented, with its mistakes.
