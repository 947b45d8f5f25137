"""Units, expressions, rules, and the judge that holds a book against them."""
