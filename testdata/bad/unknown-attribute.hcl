# Bad on purpose: unknown-attribute
name         = "Bad"
units        = "in"
construction = "metal-tie"
constuction = "roadbed"
run "main" { pieces = ["20 x straight 10"] }
# Invented, with its mistakes.
