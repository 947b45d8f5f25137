"""Which one entry, or which fault of the machine, explains what contradicts itself in a profile.

`ranking` answers; `slip_rows` holds the usual slips, `undone` what each makes of a value, `sites` the
profiles with one changed, `evidence` how hard each is to believe, `next_reading` what to read next.
"""
