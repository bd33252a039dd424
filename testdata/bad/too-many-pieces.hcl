# Bad on purpose: too-many-pieces
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["1000 x straight 1", "1000 x straight 1", "1000 x straight 1", "1000 x straight 1", "1000 x straight 1", "1000 x straight 1", "1000 x straight 1", "1000 x straight 1", "1000 x straight 1", "1000 x straight 1", "straight 1"] }
# Invented, with its mistakes.
