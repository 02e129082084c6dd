"""A client of Pipwright, made from its contract: `Pipwright("http://127.0.0.1:8640").check({"dice": "2d6", "needs": "7+"})`."""

from .client import Pipwright
from .core import ProblemError, ServerEvent

__all__ = ["Pipwright", "ProblemError", "ServerEvent"]
