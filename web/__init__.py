"""The pages of Benchreel."""
