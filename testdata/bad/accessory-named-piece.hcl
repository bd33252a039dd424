# Bad on purpose: accessory-named-piece
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
run "side" { pieces = ["3 x straight 10", "straight 10 as G1"] }
accessory "G1" {
  kind   = "motor"
  volts  = 14
  amps   = 0.8
  supply = "T1"
}
feeder "G2" {
  at     = "main 3"
  supply = "T1"
  wire   = "16 AWG"
  length = "6 ft"
}
accessory "G2" {
  kind   = "motor"
  volts  = 14
  amps   = 0.8
  supply = "T1"
}
# Invented, with its mistakes.
