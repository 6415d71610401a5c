"""Arraybook's calculation core: a small solar array's design in, every limit checked with its working shown, out."""
