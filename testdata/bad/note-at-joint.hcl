# Bad on purpose: note-at-joint
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
note "main 3/4" { text = "x" }
# Invented, with its mistakes.
