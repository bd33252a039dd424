# Bad on purpose: column-counts-characters
name         = "Bad"
units        = "in"
construction = "metal-tie"
run "main" {
  pieces = [/* é👍🏽é */ "straight ten"]
}
# Invented, with its mistakes.
