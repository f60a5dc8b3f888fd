"""The questions that can be asked of the library, and the hits that answer them."""
