"""Text in, a Design out, or everything that is wrong with the text."""

from calc.read.quantity import read_quantity
from calc.read.scenario import read_design, read_document
from calc.read.sections import FormatRow, describe_format, field_for
from calc.read.words import Wrong
from calc.read.write import document_of, write_document

__all__ = [
    "FormatRow",
    "Wrong",
    "describe_format",
    "document_of",
    "field_for",
    "read_design",
    "read_document",
    "read_quantity",
    "write_document",
]
