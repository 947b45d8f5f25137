"""Tests of the documents: text, places, schemas, parts, repository, revisions."""
