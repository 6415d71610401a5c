"""A design's day for readers: text, JSON, and a section of a report."""
