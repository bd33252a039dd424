# Bad on purpose: counted
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
counted "joint" "sideways" { times = 2 }
counted "joint" "open" { times = 2 }
counted "joint" "open" { times = 3 }
counted "bus" "weak" { times = 0 }
counted "rope" "open" { times = 2 }
# Invented, with its mistakes.
