# Invented for a circuit that was typed by hand: bus.cir
name         = "Bus and strip"
units        = "mm"
construction = "by-hand"
construction "by-hand" {
  like = "metal-tie"
  rail {
    ohms_per_meter = 0.1
    spread         = 0.08
    level          = 0.4
  }
  joint {
    ohms   = 0.01
    spread = 0.6
    level  = 0.5
  }
  clip { ohms = 0.004 }
}
run "main" {
  pieces = ["straight 1000", "straight 1000", "straight 1000"]
}
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}

bus "B1" {
  supply    = "T1"
  terminals = 2
  wire      = "16 AWG"
  length    = "20 m"
}
strip "P1" {
  bus       = "B1"
  terminal  = 2
  terminals = 3
  wire      = "16 AWG"
  length    = "10 m"
}
feeder "F1" {
  at     = "main 1"
  bus      = "B1"
  terminal = 1
  wire   = "16 AWG"
  length = "10 m"
}
feeder "F2" {
  at     = "main 3"
  bus      = "P1"
  terminal = 3
  wire   = "16 AWG"
  length = "10 m"
}
