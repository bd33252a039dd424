# Invented: a main line that crosses three other lines at three angles, on two-rail track: each way over a crossing has a jumper of its own.
name         = "Three crossings"
units        = "mm"
construction = "two-rail"
run "main" {
  pieces = ["bumper", "3 x straight 200", "crossing 90 length 200 as X90", "3 x straight 200", "crossing 45 length 200 as X45",
    "3 x straight 200", "crossing 20 length 240 as X20", "3 x straight 200", "bumper"]
}
run "mill1" {
  from   = "X90 b1"
  pieces = ["2 x straight 200", "bumper"]
}
run "mill2" {
  from   = "X90 b2"
  pieces = ["3 x straight 200", "bumper"]
}
run "quay1" {
  from   = "X45 b1"
  pieces = ["3 x straight 200", "bumper"]
}
run "quay2" {
  from   = "X45 b2"
  pieces = ["3 x straight 200", "bumper"]
}
run "pit1" {
  from   = "X20 b1"
  pieces = ["curve right radius 800 angle 20", "3 x straight 200", "bumper"]
}
run "pit2" {
  from   = "X20 b2"
  pieces = ["curve right radius 800 angle 20", "3 x straight 200", "bumper"]
}
supply "P1" {
  current = "dc"
  volts   = 12
  breaker = 2
}
feeder "F1" {
  at     = "main 3"
  supply = "P1"
  wire   = "0.75 mm2"
  length = "1.5 m"
}
feeder "F2" {
  at     = "mill1 1"
  supply = "P1"
  wire   = "0.75 mm2"
  length = "2 m"
}
feeder "F3" {
  at     = "quay1 2"
  supply = "P1"
  wire   = "0.75 mm2"
  length = "2 m"
}
feeder "F4" {
  at     = "pit1 2"
  supply = "P1"
  wire   = "0.75 mm2"
  length = "3 m"
}
