# Bad on purpose: rail-two-rail
name         = "Bad"
units        = "in"
construction = "two-rail"
run "main" { pieces = ["20 x straight 10"] }
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
accessory "gate" {
  kind   = "motor"
  volts  = 14
  amps   = 0.8
  supply = "T1"
}
insulated_rail "a" {
  rail  = "left"
  from  = "main 12/13"
  to    = "main 16/17"
  tap   = "main 14"
  works = "gate"
}
# Invented, with its mistakes.
