"""Records and vocabulary: what a design, a step, a finding and an assessment are. Opens no file."""
