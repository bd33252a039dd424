# Invented for tests: a figure eight over one crossing.
name         = "Figure eight"
units        = "in"
construction = "metal-tie"
run "main" {
  closes = true
  pieces = ["crossing 90 length 10 as X1", "straight 10.5", "6 x curve left diameter 31 angle 45", "straight 10.5",
    "X1 again", "straight 10 1/2", "6 x curve right diameter 31 angle 45", "straight 10.5"]
}
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
feeder "F1" {
  at     = "main 2"
  supply = "T1"
  wire   = "16 AWG"
  length = "6 ft"
}
