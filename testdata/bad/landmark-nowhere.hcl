# Bad on purpose: landmark-nowhere
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
landmark "mill" { at = "main 0" }
# Invented, with its mistakes.
