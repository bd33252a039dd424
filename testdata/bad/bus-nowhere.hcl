# Invented: a bus that hangs on a toggle, and a toggle on a bus, of which there is none.
name         = "Nowhere"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["4 x straight 10"] }
bus "B1" {
  toggle    = "S9"
  terminals = 2
  wire      = "14 AWG"
  length    = "6 ft"
}
