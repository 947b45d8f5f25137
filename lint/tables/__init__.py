"""Reference tables, one source a file.

Import `table` and `column` from `table`; everything else here is data.
"""
