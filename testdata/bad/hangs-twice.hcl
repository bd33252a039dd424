# Bad on purpose: hangs-twice
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
toggle "S1" { supply = "T1" }
feeder "F1" {
  at     = "main 3"
  supply = "T1"
  toggle = "S1"
  wire   = "16 AWG"
  length = "6 ft"
}
feeder "F2" {
  at       = "main 4"
  supply   = "T1"
  terminal = 2
  wire     = "16 AWG"
  length   = "6 ft"
}
feeder "F3" {
  at     = "main 5"
  toggle = "S2"
  wire   = "16 AWG"
  length = "6 ft"
}
feeder "F4" {
  at     = "main 6"
  wire   = "16 AWG"
  length = "6 ft"
}
# Invented, with its mistakes.
