"""The reference tables, each by its count, its order and its sum."""
