"""The language of rules and formulas: types, units, the tree, its wording, its course."""
