# Invented: a two-rail loop that turns a train round. Both its ends are cut in both rails, and a toggle crosses its two wires while the
# train is inside.
name         = "Balloon, two rails"
units        = "in"
construction = "two-rail"
run "main" {
  to     = "W1 diverging"
  pieces = ["bumper", "6 x straight 10", "turnout left diameter 31 angle 45 as W1", "straight 32.8805", "5 x curve left diameter 31 angle 45", "straight 31"]
}
supply "P1" {
  current = "dc"
  volts   = 12
  breaker = 2
}
toggle "turn" {
  supply   = "P1"
  switches = "reverse"
}
feeder "F1" {
  at     = "main 3"
  supply = "P1"
  wire   = "0.75 mm2"
  length = "1.5 m"
}
feeder "F2" {
  at     = "main 12"
  toggle = "turn"
  wire   = "0.75 mm2"
  length = "2 m"
}
insulated "main 8/9" { rails = ["left", "right"] }
insulated "main 15/8" { rails = ["left", "right"] }
block "loop" {
  from   = "main 9"
  to     = "main 15"
  toggle = "turn"
}
