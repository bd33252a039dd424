# Invented for the lessons: a branch line that ends at a bumper.
name         = "Mill branch"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["6 x straight 10", "2 x curve left diameter 31 angle 45", "6 x straight 10", "bumper"] }
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
landmark "mill" { at = "main 14" }
