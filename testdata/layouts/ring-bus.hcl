# Invented: a long two-rail oval fed from a bus that goes once round under the table and comes home to the supply.
name         = "Ring bus"
units        = "mm"
construction = "two-rail"
run "main" {
  closes = true
  pieces = ["10 x straight 500", "4 x curve left radius 600 angle 45", "10 x straight 500", "4 x curve left radius 600 angle 45"]
}
supply "P1" {
  current = "dc"
  volts   = 14
  breaker = 4
}
bus "B1" {
  supply    = "P1"
  terminals = 4
  wire      = "1 mm2"
  length    = "11 m"
  ring      = "2.5 m"
}
feeder "F1" {
  at       = "main 1"
  bus      = "B1"
  terminal = 1
  wire     = "0.75 mm2"
  length   = "30 cm"
}
feeder "F2" {
  at       = "main 15"
  bus      = "B1"
  terminal = 3
  wire     = "0.75 mm2"
  length   = "30 cm"
}
accessory "yard lamps" {
  kind     = "lamp"
  volts    = 14
  amps     = 0.3
  bus      = "B1"
  terminal = 4
}
train "express" {
  pickups = "120 mm"
  amps    = 3
}
