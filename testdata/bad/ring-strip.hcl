name = "Bad"
units = "in"
construction = "metal-tie"
run "main" { pieces = ["4 x straight 10"] }
supply "T1" {
  current = "ac"
  volts = 18
  breaker = 10
}
strip "P1" {
  supply = "T1"
  terminals = 3
  wire = "14 AWG"
  length = "4 ft"
  ring = "4 ft"
}
bus "B1" {
  supply = "T1"
  terminals = 3
  wire = "14 AWG"
  length = "4 ft"
  ring = true
}
# Invented, with its mistakes.
