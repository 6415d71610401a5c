"""From a judged design to something that can be built: parts, couplers, wiring, order of work and labels."""
