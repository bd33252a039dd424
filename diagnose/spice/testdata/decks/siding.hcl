# Invented for a circuit that was typed by hand: siding.cir
name         = "Siding"
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
  pieces = ["straight 1000", "turnout left radius 1273.2395 angle 45 through 1000 as W1", "straight 2601.2653",
    "turnout right trailing radius 1273.2395 angle 45 through 1000 as W2", "straight 1000"]
}
run "siding" {
  from   = "W1 diverging"
  to     = "W2 diverging"
  pieces = ["curve right radius 1273.2395 angle 45", "straight 1000", "curve right radius 1273.2395 angle 45"]
}
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}

feeder "F1" {
  at     = "main 1"
  supply = "T1"
  wire   = "16 AWG"
  length = "10 m"
}
