# Invented: a two-rail wye of three wye turnouts. One of its sides is cut at both ends and fed over a toggle that crosses its wires.
name         = "Triangle"
units        = "mm"
construction = "two-rail"
stock "wye-fork" { piece = "turnout wye radius 600 angle 30" }
run "north" { pieces = ["bumper", "3 x straight 200", "wye-fork as A"] }
run "east" { pieces = ["bumper", "3 x straight 200", "wye-fork as B"] }
run "west" { pieces = ["bumper", "3 x straight 200", "wye-fork as C"] }
run "ab" {
  from   = "A diverging"
  to     = "B through"
  pieces = ["2 x straight 200"]
}
run "bc" {
  from   = "B diverging"
  to     = "C through"
  pieces = ["2 x straight 200"]
}
run "ca" {
  from   = "C diverging"
  to     = "A through"
  pieces = ["2 x straight 200"]
}
supply "P1" {
  current = "dc"
  volts   = 12
  breaker = 1.5
}
toggle "turn" {
  supply   = "P1"
  switches = "reverse"
}
feeder "F1" {
  at     = "north 3"
  supply = "P1"
  wire   = "0.75 mm2"
  length = "2 m"
}
feeder "F2" {
  at     = "ca 1"
  toggle = "turn"
  wire   = "0.75 mm2"
  length = "3 m"
}
insulated "west 5/ca 1" { rails = ["left", "right"] }
insulated "ca 2/north 5" { rails = ["left", "right"] }
