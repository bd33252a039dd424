# Invented for a circuit that was typed by hand: two-supplies.cir
name         = "Two supplies"
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
  pieces = ["straight 1000", "straight 1000", "straight 1000", "straight 1000"]
}
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}

supply "T2" {
  current = "ac"
  volts   = 18
  breaker = 10
  phase   = "in phase"
  common  = "T1"
}
insulated "main 2/3" { rails = ["center"] }
feeder "F1" {
  at     = "main 1"
  supply = "T1"
  wire   = "16 AWG"
  length = "10 m"
}
feeder "F2" {
  at     = "main 4"
  supply = "T2"
  wire   = "16 AWG"
  length = "10 m"
}
