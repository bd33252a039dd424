# Bad on purpose: module-overlap
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
run "yard" { pieces = ["4 x straight 10"] }
module "bridge" {
  from = "main 1"
  to   = "main 4"
}
module "hill" {
  from = "main 4"
  to   = "main 6"
}

# Invented.
