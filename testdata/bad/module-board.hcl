# Bad on purpose: module-board
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["20 x straight 10"] }
run "yard" { pieces = ["4 x straight 10"] }
module "bridge" {
  from  = "main 1"
  to    = "main 4"
  board = "bridgr"
}
module "hill" {
  from  = "main 9"
  to    = "main 12"
  board = "bridgx"
}

# Invented.
