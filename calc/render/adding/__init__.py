"""What happens when modules are added, for readers: text, JSON, and a section of a report."""
