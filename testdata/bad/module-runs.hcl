# Bad on purpose: module-runs
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
run "yard" { pieces = ["4 x straight 10"] }
module "bridge" {
  from = "main 1"
  to   = "yard 2"
}
module "hill" {
  from = "main 9"
  to   = "main 7"
}
module "far" {
  from = "main 19"
  to   = "main 21"
}

# Invented.
