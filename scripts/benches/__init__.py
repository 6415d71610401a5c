"""What is measured, group by group. A group is a module with one function, and has one line in __main__.

core        the calculation: findings, and findings with every drawing
curves      a module's curve against the reference library, and the whole open list of modules
day         a year of one layout
layouts     every layout of 24 modules
building    the site build: how it grows with the number of designs
weight      a report page: bytes on the wire
repainting  a live page: from a moved slider to painted verdicts, and to the whole page
starting    the live calculation: how it starts in each browser engine, first and later, and its bytes on the wire
lighthouse  a page of each kind: speed, access, good practice, being found
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Figure:
    """One measured figure beside the target it is held to."""

    value: float
    target: float
    sense: str
    unit: str

    def meets(self) -> bool:
        """Is the target met?"""
        return self.value <= self.target if self.sense == AT_MOST else self.value >= self.target


AT_MOST, AT_LEAST = "at most", "at least"
