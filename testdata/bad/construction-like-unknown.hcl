# Bad on purpose: construction-like-unknown
name         = "Bad"
units        = "in"
construction = "metal-tie"
construction "mine" { like = "metl-tie" }
run "main" { pieces = ["20 x straight 10"] }
# Invented, with its mistakes.
