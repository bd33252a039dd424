# Invented for tests: a yard ladder of four tracks.
name         = "Ladder"
units        = "in"
construction = "metal-tie"
stock "fork" { piece = "turnout radius 36 angle 22.5" }
stock "bend" { piece = "curve radius 36 angle 22.5" }
run "lead" {
  pieces = ["2 x straight 10", "fork left as W1", "straight 5", "fork left as W2", "straight 5", "fork left as W3", "6 x straight 10", "bumper"]
}
run "yard1" {
  from   = "W1 diverging"
  pieces = ["bend right", "8 x straight 10", "bumper"]
}
run "yard2" {
  from   = "W2 diverging"
  pieces = ["bend right", "6 x straight 10", "bumper"]
}
run "yard3" {
  from   = "W3 diverging"
  pieces = ["bend right", "4 x straight 10", "bumper"]
}
supply "T1" {
  current = "ac"
  volts   = 16
  breaker = 7
}
feeder "F1" {
  at     = "lead 1"
  supply = "T1"
  wire   = "16 AWG"
  length = "6 ft"
}
