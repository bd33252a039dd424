# Invented: a terminus with lit bumpers, lamps, a signal and a light that a meter cannot see.
name         = "Terminus"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = ["bumper", "4 x straight 10", "turnout right diameter 31 angle 45 through 10 as W1", "6 x straight 10", "bumper"]
}
run "bay" {
  from   = "W1 diverging"
  pieces = ["curve left diameter 31 angle 45", "4 x straight 10", "bumper"]
}
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 7
}
bus "B1" {
  supply    = "T1"
  terminals = 2
  wire      = "0.75 mm2"
  length    = "3 m"
}
feeder "F1" {
  at       = "main 3"
  bus      = "B1"
  terminal = 1
  wire     = "16 AWG"
  length   = "2 ft"
}
accessory "main bumper" {
  kind  = "bumper"
  volts = 14
  amps  = 0.2
  at    = "main 12"
}
accessory "bay bumper" {
  kind  = "bumper"
  volts = 14
  amps  = 0.2
  at    = "bay 5"
}
accessory "platform lamps" {
  kind     = "lamp"
  volts    = 14
  amps     = 0.9
  cold     = 1.4
  bus      = "B1"
  terminal = 2
}
accessory "signal" {
  kind  = "signal"
  volts = 14
  amps  = 0.1
  at    = "main 9/10"
}
accessory "yard light" {
  kind  = "led"
  volts = 16
  amps  = 0.02
  at    = "bay 3"
}
