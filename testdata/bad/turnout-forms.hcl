# Bad on purpose: turnout-forms
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
run "side" {
  pieces = [
    "turnout wye diameter 31 angle 22.5 through 10 as A1",
    "turnout left diameter 72 angle 22.5 curved diameter 54 as A2",
    "turnout left diameter 54 angle 22.5 curved 72 as A3",
    "turnout wye left diameter 31 angle 22.5 as A4",
    "slip 22.5 as A5",
    "slip 22.5 length 10 left as A6",
    "turnout wye diameter 31 angle 22.5 curved diameter 54 as A7",
    "straight 10 untied untied",
  ]
}
# Invented, with its mistakes.
