# Bad on purpose: train-words
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
train "freight" {
  axles   = "8 yards"
  pickups = 0
  amps    = 90
}
# Invented, with its mistakes.
