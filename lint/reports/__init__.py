"""What people and machines read: text, JSON and the rest; reports only read."""
