# Bad on purpose: construction-rail
name         = "Bad"
units        = "in"
construction = "metal-tie"
construction "mine" {
  like = "metal-tie"
  hot = "centre"
}
run "main" { pieces = ["20 x straight 10"] }
# Invented, with its mistakes.
