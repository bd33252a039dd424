# The layout that comes with the program: a three-rail club layout, invented
# for it. 62 pieces: an oval, a passing siding, a spur and a stub.

name         = "Willow Bend club"
about        = "Invented: an oval of 40 pieces with a passing siding, on two trestle tables."
units        = "in"
construction = "metal-tie"

# Straights of three lengths and bends of three diameters, as a club's boxes have them:
# invented, all of them.
stock "bend" { piece = "curve diameter 36 angle 45" }
stock "tight" { piece = "curve diameter 31 angle 45" }
stock "long" { piece = "straight 12" }
stock "usual" { piece = "straight 9" }

run "main" {
  closes = true
  pieces = [
    "long", "2 x usual",                                                     # 1-3: the platform
    "turnout left diameter 31 angle 45 through 10 as W1",                    # 4
    "3 x long", "4 x usual", "straight 8",                                   # 5-12
    "turnout right trailing diameter 31 angle 45 through 10 as W2",          # 13
    "long", "2 x usual",                                                     # 14-16
    "4 x bend left",                                                         # 17-20
    "2 x long", "4 x usual",                                                 # 21-26
    "turnout right diameter 31 angle 45 through 10 as W3",                   # 27
    "3 x long", "6 x usual",                                                 # 28-36
    "4 x bend left",                                                         # 37-40
  ]
}

# The passing siding lies inside the oval. The short piece was cut to fit.
run "siding" {
  from   = "W1 diverging"
  to     = "W2 diverging"
  pieces = ["tight right", "long", "straight 8", "turnout left diameter 31 angle 45 through 10 as W4",
    "long", "straight 8", "straight 6.16", "tight right"]
}

run "spur" {
  from   = "W3 diverging"
  pieces = ["curve left diameter 42 angle 45", "2 x long", "4 x usual", "bumper"] # coal mine
}

run "stub" {
  from   = "W4 diverging"
  pieces = ["tight right", "2 x usual", "2 x long", "bumper"]
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
  length = "4 ft"
}

feeder "F2" {
  at     = "main 30/31"
  supply = "T1"
  wire   = "16 AWG"
  length = "12 ft"
}

hidden "tunnel" {
  from    = "main 17"
  to      = "main 22"
  minutes = 6
}

landmark "station" { at = "main 2" }
landmark "tunnel, south mouth" { at = "main 16/17" }
landmark "tunnel, north mouth" { at = "main 22/23" }
landmark "coal mine" { at = "spur 7" }
landmark "water tower" { at = "main 34" }

note "main 13" { text = "new pins last winter" }
note "siding 7" { text = "cut to fit with a hacksaw" }

history "main 9" {
  odds = 0.2
  why  = "passed the bench check"
}
