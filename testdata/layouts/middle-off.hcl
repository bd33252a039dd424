# Invented: two cabs over toggles that are off in the middle, and a siding that is parked: its toggle is usually in the middle.
name         = "Two cabs, off in the middle"
units        = "in"
construction = "metal-tie"
run "main" {
  closes = true
  pieces = ["straight 10", "turnout left diameter 31 angle 45 through 10 as W1", "8 x straight 10",
    "turnout right trailing diameter 31 angle 45 through 10 as W2", "straight 10", "4 x curve left diameter 31 angle 45",
    "12 x straight 10", "4 x curve left diameter 31 angle 45"]
}
run "siding" {
  from   = "W1 diverging"
  to     = "W2 diverging"
  pieces = ["curve right diameter 31 angle 45", "5 x straight 10", "straight 6.16", "curve right diameter 31 angle 45"]
}
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 7
}
supply "T2" {
  current = "ac"
  volts   = 18
  breaker = 7
  phase   = "in phase"
  common  = "T1"
}
toggle "S1" {
  supply = "T1"
  other  = "T2"
  middle = "off"
}
toggle "S2" {
  supply  = "T1"
  other   = "T2"
  middle  = "off"
  usually = "off"
}
toggle "S3" {
  supply  = "T1"
  other   = "T2"
  middle  = "off"
  usually = "middle"
}
insulated "main 16/17" { rails = ["center"] }
insulated "main 28/29" { rails = ["center"] }
insulated "siding 1/2" { rails = ["center"] }
insulated "siding 7/8" { rails = ["center"] }
feeder "F1" {
  at     = "main 6"
  toggle = "S1"
  wire   = "16 AWG"
  length = "5 ft"
}
feeder "F2" {
  at     = "main 22"
  toggle = "S2"
  wire   = "16 AWG"
  length = "7 ft"
}
feeder "F3" {
  at     = "siding 4"
  toggle = "S3"
  wire   = "16 AWG"
  length = "5 ft"
}
block "back" {
  from   = "main 17"
  to     = "main 28"
  toggle = "S2"
}
block "siding" {
  from   = "siding 2"
  to     = "siding 7"
  toggle = "S3"
}
