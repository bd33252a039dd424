# Bad on purpose: note-without-text
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
note "main 3" { }
# Invented, with its mistakes.
