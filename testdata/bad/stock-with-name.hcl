# Bad on purpose: stock-with-name
name         = "Bad"
units        = "in"
construction = "metal-tie"
stock "S" { piece = "straight 10 as S1" }
run "main" { pieces = ["20 x straight 10"] }
# Invented, with its mistakes.
