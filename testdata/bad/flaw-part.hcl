# Bad on purpose: flaw-part
name         = "Bad"
units        = "in"
construction = "metal-tie"
construction "mine" {
  like = "metal-tie"
  flaw "joints" "open" { odds = 2 }
}
run "main" { pieces = ["20 x straight 10"] }
# Invented, with its mistakes.
