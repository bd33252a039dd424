# Invented for a circuit that was typed by hand: insulated-rail.cir
name         = "Insulated rail"
units        = "mm"
construction = "by-hand"
construction "by-hand" {
  like = "roadbed"
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
  pieces = ["straight 1000", "straight 1000", "straight 1000", "straight 1000", "straight 1000", "straight 1000"]
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
accessory "bell" {
  kind   = "lamp"
  volts  = 18
  amps   = 0.5
  cold   = 4
  supply = "T1"
}
insulated "main 2/3" { rails = ["left"] }
insulated "main 4/5" { rails = ["left"] }
insulated_rail "bell rail" {
  rail   = "left"
  from   = "main 2/3"
  to     = "main 4/5"
  tap    = "main 3"
  works  = "bell"
  wire   = "16 AWG"
  length = "10 m"
}
