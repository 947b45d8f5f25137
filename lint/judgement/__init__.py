"""Rules, and the judge that holds a book against them."""
