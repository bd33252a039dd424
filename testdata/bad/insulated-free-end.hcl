# Bad on purpose: insulated-free-end
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
insulated "main 20/end" { rails = ["center"] }
# Invented, with its mistakes.
