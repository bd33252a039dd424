# Bad on purpose: supply-common
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
  common  = "T1"
}
supply "T2" {
  current = "ac"
  volts   = 18
  breaker = 10
  common  = "T9"
}
toggle "S1" {
  supply = "T2"
  other  = "T2"
}
toggle "S2" {
  supply   = "T1"
  other    = "T2"
  switches = "reverse"
}
toggle "S3" {
  supply = "T1"
  other  = "T7"
}
# Invented, with its mistakes.
