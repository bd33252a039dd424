# Invented for the lessons: a branch with platform lamps that are always lit.
name         = "Lit platform"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["12 x straight 10", "bumper"] }
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
feeder "F1" {
  at     = "main 1"
  supply = "T1"
  wire   = "16 AWG"
  length = "3 ft"
}
accessory "platform lamps" {
  kind  = "lamp"
  volts = 18
  amps  = 0.8
  at    = "main 2"
}
landmark "platform" { at = "main 2" }
