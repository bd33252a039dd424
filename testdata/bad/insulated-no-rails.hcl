# Bad on purpose: insulated-no-rails
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
insulated "main 7/8" { rails = [] }
# Invented, with its mistakes.
