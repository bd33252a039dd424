# Bad on purpose: name-for-many
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = [
    "4 x straight 10 as S1",
  ]
}
# Invented, with its mistakes.
