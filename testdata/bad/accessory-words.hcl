# Bad on purpose: accessory-words
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
accessory "gate" {
  kind   = "lamb"
  volts  = 14
  amps   = 0
  supply = "T1"
}
accessory "bell" {
  kind  = "relay"
  volts = 14
  amps  = 0.3
}
accessory "glow" {
  kind   = "lamp"
  volts  = 14
  amps   = 0.3
  at     = "main 3"
  supply = "T1"
}
accessory "tower" {
  kind   = "lamp"
  volts  = 14
  amps   = 0.3
  at     = "main 3"
  common = "center"
}
accessory "pole" {
  kind   = "lamp"
  volts  = 14
  amps   = 0.3
  hot    = "center"
  supply = "T1"
}
# Invented, with its mistakes.
