"""Layouts, limits and moves for readers: text, JSON, and sections of a report."""
