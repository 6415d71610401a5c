"""The register of input fields, as the reader uses it."""

from calc.model.fields import FIELDS, Field

__all__ = ["FIELDS", "Field"]
