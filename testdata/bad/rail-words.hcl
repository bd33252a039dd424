# Bad on purpose: rail-words
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
  kind   = "motor"
  volts  = 14
  amps   = 0.8
  supply = "T1"
}
accessory "lamp" {
  kind  = "lamp"
  volts = 14
  amps  = 0.8
  at    = "main 2"
}
insulated_rail "a" {
  rail  = "left"
  from  = "main 12/13"
  to    = "main 16/17"
  tap   = "main 14"
  works = "gats"
}
insulated_rail "b" {
  rail  = "center"
  from  = "main 12/13"
  to    = "main 16/17"
  tap   = "main 14"
  works = "gate"
}
insulated_rail "c" {
  rail  = "left"
  from  = "main 16/17"
  to    = "main 12/13"
  tap   = "main 14"
  works = "gate"
}
insulated_rail "d" {
  rail  = "left"
  from  = "main 12"
  to    = "main 16/17"
  tap   = "main 14"
  works = "lamp"
}
# Invented, with its mistakes.
