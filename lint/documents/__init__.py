"""The documents as written: text, places, schemas, parts, repository, revisions.

Other folders take profiles from `loading`, what is in them from `profile` and `schema`, the files
under some paths from `repository`, old revisions from `revision`, and errors from `error`.
"""
