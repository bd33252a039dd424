# Bad on purpose: conductor-words
name         = "Bad"
units        = "in"
construction = "metal-tie"
construction "mine" {
  like = "metal-tie"
  turnout {
    conductors = ["points left too middle left by rail"]
  }
}
run "main" { pieces = ["20 x straight 10"] }
# Invented, with its mistakes.
