# Bad on purpose: conductor-missing-end
name         = "Bad"
units        = "in"
construction = "metal-tie"
construction "mine" {
  like = "two-rail"
  crossing {
    conductors = ["a1 left to a2 left by rail", "a1 right to a2 right by rail", "b1 left to b2 left by rail", "b1 right to mid right by rail"]
  }
}
run "main" { pieces = ["20 x straight 10"] }
# Invented, with its mistakes.
