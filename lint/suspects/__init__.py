"""Which one entry, or which fault of the machine, explains what contradicts itself in a profile.

`suspicion` asks; `slip_rows` holds the usual slips, `undone` what each makes of a value, `trials` the
profiles with one changed, `evidence` how hard each is to believe, `next_reading` what to measure next.
"""
