# Bad on purpose: terminal-rails
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
terminal "A1" {
  at     = "main 2"
  wire   = "22 AWG"
  length = "9 ft"
  wires  = "hot"
  common = "right"
}
terminal "A2" {
  at     = "main 4"
  wire   = "22 AWG"
  length = "9 ft"
  hot    = "left"
}
terminal "A3" {
  at     = "main 6"
  wire   = "22 AWG"
  length = "9 ft"
  hot    = "middle"
}
# Invented, with its mistakes.
