# Bad on purpose: flaw-under-table
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
flaw "joint" "open" { odds = 1 }
flaw "toggle" "swapped" { odds = 1 }
flaw "tap" "weak" {
  odds = 1
  min  = 9
  max  = 2
}
flaw "load" "bridged" { odds = 0 }
flaw "load" "bridged" { odds = 2 }
flaw "bus" "open" { rails = ["left"] }
# Invented, with its mistakes.
