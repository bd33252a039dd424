# Invented for tests: the same oval with a mistake of every kind that the eye passes over. `fishplate check` names them.
name         = "Wrong oval"
units        = "in"
construction = "metal-tie"
run "main" {
  closes = true
  pieces = ["straight 10", "turnout left diameter 31 angle 45 through 10 as W1", "8 x straight 10",
    "turnout right trailing diameter 31 angle 45 through 10 as W2", "straight 10", "4 x curve left diameter 31 angle 45",
    "4 x straight 10", "4 x straight 10", "4 x straight 10", "4 x curve left diameter 31 angle 45"]
}
run "siding" {
  from   = "W1 diverging"
  to     = "W2 diverging"
  pieces = ["curve right diameter 31 angle 45", "5 x straight 10", "straight 6.16", "curve right diameter 31 angle 45"]
}
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
supply "T2" {
  current = "ac"
  volts   = 16
  breaker = 7
}
bus "B1" {
  supply    = "T1"
  terminals = 3
  wire      = "20 AWG"
  length    = "18 ft"
}
strip "P1" {
  bus       = "B1"
  terminal  = 3
  terminals = 4
  wire      = "16 AWG"
  length    = "2 ft"
}
toggle "S1" {
  bus      = "P1"
  terminal = 1
  switches = "hot"
}
toggle "S2" {
  supply   = "T2"
  switches = "hot"
}
feeder "F1" {
  at       = "main 1"
  bus      = "B1"
  terminal = 1
  wire     = "16 AWG"
  length   = "2 ft"
}
feeder "F2" {
  at       = "main 26"
  bus      = "B1"
  terminal = 3
  wire     = "16 AWG"
  length   = "2 ft"
}
feeder "F3" {
  at     = "siding 4"
  toggle = "S1"
  wire   = "16 AWG"
  length = "6 ft"
}
insulated "siding 1/2" { rails = ["center"] }
block "siding" {
  from   = "siding 2"
  to     = "siding 7"
  toggle = "S1"
}
accessory "gate" {
  kind     = "motor"
  volts    = 14
  amps     = 0.8
  bus      = "P1"
  terminal = 2
}
insulated "main 20/21" { rails = ["right"] }
insulated "main 24/25" { rails = ["right"] }
insulated_rail "road" {
  rail   = "right"
  from   = "main 20/21"
  to     = "main 24/25"
  tap    = "main 22"
  works  = "gate"
  wire   = "16 AWG"
  length = "4 ft"
}
accessory "street lamps" {
  kind   = "lamp"
  volts  = 6
  amps   = 1.5
  toggle = "S2"
}
train "freight" {
  axles   = "7 in"
  pickups = "4 in"
  amps    = 4
}
