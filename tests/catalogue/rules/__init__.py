"""The rules as data: one file a rule in a folder a topic, and the follow-ups of a change."""
