# Bad on purpose: history-odds
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
history "main 3" { odds = 0 }
# Invented, with its mistakes.
