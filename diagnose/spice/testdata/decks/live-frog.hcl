# Invented for a circuit that was typed by hand: live-frog.cir
name         = "Live frog"
units        = "mm"
construction = "by-hand"
construction "by-hand" {
  like = "two-rail"
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
  turnout {
    dead_mm    = 12
    conductors = [
      "points left to middle left by rail share 0.5",
      "middle left to diverging left by rail share 0.5",
      "points right to middle right by rail share 0.5",
      "middle right to through right by rail share 0.5",
      "middle left to frog left by jumper 0.005 when through",
      "middle right to frog left by jumper 0.005 when diverging",
      "frog left to through left by rail share 0.5",
      "frog left to diverging right by rail share 0.5",
    ]
  }
}
run "main" {
  pieces = ["straight 1000", "turnout left radius 1273.2395 angle 45 through 1000 as W1", "straight 1000"]
}
run "spur" {
  from   = "W1 diverging"
  pieces = ["straight 1000"]
}
supply "T1" {
  current = "dc"
  volts   = 18
  breaker = 10
}

feeder "F1" {
  at     = "main 1"
  supply = "T1"
  wire   = "16 AWG"
  length = "10 m"
}
