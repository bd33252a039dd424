# Bad on purpose: from-a-joint
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
run "siding" {
  from = "main 3/4"
  pieces = ["straight 10"]
}
# Invented, with its mistakes.
