"""The schemas of the documents (JSON Schema 2020-12): profile, part, house file and rule."""
