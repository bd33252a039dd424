# Bad on purpose: history-twice
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
history "main 3" { odds = 2 }
history "main 3" { odds = 3 }
# Invented, with its mistakes.
