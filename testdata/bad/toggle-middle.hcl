name = "Bad"
units = "in"
construction = "metal-tie"
run "main" { pieces = ["4 x straight 10"] }
supply "T1" {
  current = "ac"
  volts = 18
  breaker = 10
}
toggle "S1" {
  supply = "T1"
  middle = "off"
}
toggle "S2" {
  supply = "T1"
  usually = "middle"
}
toggle "S3" {
  supply = "T1"
  switches = "reverse"
  middle = "on"
}
toggle "S4 side" { supply = "T1" }
toggle "S4" {
  supply = "T1"
  switches = "reverse"
  middle = "off"
}
# Invented, with its mistakes.
