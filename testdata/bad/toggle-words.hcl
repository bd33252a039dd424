# Bad on purpose: toggle-words
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
toggle "S1" {
  supply   = "T1"
  switches = "hots"
  usually  = "of"
}
toggle "T1" { supply = "T1" }
# Invented, with its mistakes.
