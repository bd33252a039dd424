# Bad on purpose: named-twice
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = [
    "turnout left diameter 31 angle 45 as W1",
    "turnout left diameter 31 angle 45 as W1",
  ]
}
# Invented, with its mistakes.
