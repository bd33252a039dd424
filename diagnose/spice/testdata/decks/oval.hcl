# Invented for a circuit that was typed by hand: oval.cir
name         = "Oval"
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
  closes = true
  pieces = ["straight 1000", "curve left radius 636.6198 angle 90", "curve left radius 636.6198 angle 90", "straight 1000", "curve left radius 636.6198 angle 90", "curve left radius 636.6198 angle 90"]
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
