# Bad on purpose: block-for-attribute
name = "Bad"
units { }
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
# Invented, with its mistakes.
