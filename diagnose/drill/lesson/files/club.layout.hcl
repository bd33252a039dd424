# Invented for the lessons: a closed oval of 28 pieces with a spur.
name         = "Club oval"
units        = "in"
construction = "metal-tie"
run "main" {
  closes = true
  pieces = [
    "4 x straight 10",
    "turnout left diameter 31 angle 45 through 10 as W1",
    "5 x straight 10",
    "4 x curve left diameter 31 angle 45",
    "10 x straight 10",
    "4 x curve left diameter 31 angle 45",
  ]
}
run "spur" {
  from   = "W1 diverging"
  pieces = ["curve right diameter 31 angle 45", "3 x straight 10", "bumper"]
}
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
feeder "F1" {
  at     = "main 2/3"
  supply = "T1"
  wire   = "16 AWG"
  length = "6 ft"
}
